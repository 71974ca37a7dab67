import { h, icon, put, say } from "./dom.js";

/** The ledger: every finish with its sum; the chosen one is what the tape reads. */
export function pricePanel({ ask }) {
  const rule = h("span", { class: "soft" });
  const body = h("div", { class: "ledger", role: "radiogroup", "aria-label": "Finish, choose one" });
  const payments = h("dl", { class: "payments" });
  const note = h("p", { class: "soft" });
  const slip = h("p");
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Price"), rule),
    h("div", { class: "ledger-head", "aria-hidden": "true" }, h("span", {}, "Finish, choose one"),
      h("span", {}, "per sq ft"), h("span", {}, "whole floor"), h("span", {}, "difference")),
    body,
    h("h3", {}, "When it is paid"), payments, note,
    h("div", { class: "caution" }, icon("warn"), slip));
  let rows = [];

  function row(finish) {
    const words = finish.says.split(/[:,]/)[0];
    const brief = words[0].toLowerCase() + words.slice(1);
    return h("button", {
      type: "button", role: "radio", class: "entry",
      onclick: () => ask({ do: "finish", finish: finish.key }),
    },
    h("i", { class: "tick", "aria-hidden": "true" }),
    h("span", { class: "what" }, finish.name, " ", h("span", { class: "soft" }, brief)),
    h("span"), h("span"), h("span", { class: "soft" }));
  }

  function draw({ options, price, payments: parts, slip: words }) {
    say(rule, `${price.area} of poured floor`);
    put(rule, { title: price.rule });
    if (rows.length !== options.length) {
      rows = options.map(row);
      body.replaceChildren(...rows);
    }
    options.forEach((finish, i) => {
      const [, , perSqft, total, apart] = rows[i].children;
      put(rows[i], {
        "aria-checked": String(finish.chosen),
        "aria-label": `${finish.name}, ${finish.per_sqft} per sq ft, ${finish.total} whole floor, `
          + (finish.chosen ? "in the price" : `difference ${finish.difference}`),
      });
      say(perSqft, finish.per_sqft);
      say(total, finish.total);
      say(apart, finish.chosen ? "in the price" : finish.difference);
    });
    payments.replaceChildren(...parts.map((p) =>
      h("div", {}, h("dt", {}, p.due), h("dd", {}, p.amount))));
    say(note, `${price.rule} ${price.tax}`);
    say(slip, words);
  }

  return { el, draw, name: "Price" };
}
