import { choice, h } from "./dom.js";

const WHERE = [["home", "Home"], ["office", "Office"], ["away", "Elsewhere"], ["remote", "Mail"]];

/** Where the paper is signed: it decides who may cancel. */
export function placeOfSale(ask) {
  return choice("Where it is signed", WHERE, (at) => ask({ do: "sale_at", at }));
}

/** What the paper shows and where it is signed: the finishes that are priced, the designs that were kept. */
export function showsPart({ ask }) {
  const finishes = ticks("Finishes priced",
    (one, on) => ask({ do: "priced", finish: one.key, on }));
  const designs = ticks("Kept designs shown",
    (one, on) => ask({ do: "design_shown", name: one.name, on }));
  const none = h("p", { class: "soft" }, "No other design was kept.");
  const where = placeOfSale(ask);
  const why = h("p", { class: "soft" }, "Home is the client's, office is yours. The place decides who may cancel, and until when.");
  const el = h("div", { class: "stack" },
    h("div", { class: "field" }, h("h3", {}, "Where it is signed"), where.el, why), finishes.el, designs.el, none);

  function draw({ paper }) {
    where.draw(paper.sale.at);
    finishes.draw(paper.finishes.map((one) => ({ ...one, fixed: one.chosen,
      says: one.chosen ? "in the price" : "" })));
    designs.draw(paper.designs.map((one) => ({ ...one, key: one.name, says: one.finish })));
    designs.el.hidden = !paper.designs.length;
    none.hidden = !designs.el.hidden;
  }

  return { el, draw };
}

/** A list of boxes to tick; one that is fixed stays ticked. */
function ticks(title, onpick) {
  const rows = h("div", { class: "ticks" });
  const el = h("fieldset", {}, h("legend", {}, title), rows);
  let drawn = "";

  function draw(things) {
    const keys = things.map((one) => one.key).join("\n");
    if (keys !== drawn) {
      drawn = keys;
      rows.replaceChildren(...things.map((one) => {
        const input = h("input", { type: "checkbox", onchange: () => onpick(one, input.checked) });
        return h("label", { class: "tick-row" }, input,
          h("span", { class: "names" }, h("b", {}, one.name), h("span", { class: "soft" })));
      }));
    }
    things.forEach((one, at) => {
      const row = rows.children[at];
      const input = row.querySelector("input");
      input.checked = one.on;
      input.disabled = Boolean(one.fixed);
      row.querySelector(".soft").textContent = one.says;
    });
  }

  return { el, draw };
}
