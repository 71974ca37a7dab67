import { h, icon, put, say } from "./dom.js";
import { field } from "./fields.js";
import { keptStrip } from "./kept.js";
import { picker } from "./picker.js";
import { poursStrip } from "./pours.js";
import { stick } from "./stick.js";

const GIVES = "Typed, the color beside it gives way; by \u2212 and +, all.";

/** Pigments, their shares, the seal coat under them, and further pours of the same. */
export function colorPanel({ ask, model }) {
  const bar = stick({ ask });
  const rows = h("ul", { class: "rows" });
  const add = h("button", { type: "button", class: "bare wide", onclick: () => pickNew() },
    icon("plus"), "Add a color");
  const sealPatch = h("i", { class: "patch" });
  const sealName = h("b");
  const seal = h("button", { type: "button", class: "row seal", onclick: () => pickTint() },
    sealPatch, h("span", { class: "names" }, sealName,
      h("span", { class: "soft" }, "seal coat under the colors")),
    h("span", { class: "change" }, "Change"));
  const strip = poursStrip({ ask, model });
  const kept = keptStrip({ ask, model, onopen: open, onshut: shut });
  const main = h("div", { class: "halves" },
    h("div", { class: "stack" },
      h("div", { class: "title" }, h("h2", {}, "Color"), add), bar.el, rows,
      h("p", { class: "soft" }, GIVES)),
    h("div", { class: "stack tight" }, seal, strip.el, kept.el));
  const el = h("div", { class: "stack" }, main);
  const shares = [];
  let figures = null;
  let drawn = "";

  function open(picked) {
    el.replaceChildren(picked);
    picked.querySelector("[aria-checked=true], button:not(:disabled)")?.focus();
    picked.addEventListener("keydown", (event) => event.key === "Escape" && shut());
  }

  function shut(focus) {
    el.replaceChildren(main);
    draw(figures);
    focus?.focus();
  }

  function pickNew() {
    open(picker({
      title: "Add a color", things: figures.pigments, now: "",
      taken: figures.colors.map((c) => c.key),
      onpick: (pigment) => { ask({ do: "add", pigment }); shut(add); },
      onback: () => shut(add),
    }));
  }

  function pickFor(place) {
    const back = () => shut(rows.children[place]?.querySelector(".pick"));
    open(picker({
      title: `In place of ${figures.colors[place].name}`, things: figures.pigments,
      now: figures.colors[place].key, taken: figures.colors.map((c) => c.key),
      onpick: (pigment) => { ask({ do: "pigment", place, pigment }); back(); },
      onback: back,
      onremove: figures.can_remove ? () => { ask({ do: "remove", place }); shut(add); } : null,
    }));
  }

  function pickTint() {
    open(picker({
      title: "Seal coat under the colors", things: figures.tints, now: figures.tint, taken: [],
      onpick: (tint) => { ask({ do: "tint", tint }); shut(seal); },
      onback: () => shut(seal),
    }));
  }

  function row(color, place) {
    const step = (by) => ask(
      { do: "percent", place, percent: Math.round(figures.colors[place].percent) + by });
    const set = (text, answer = null) => ask({ do: "share", place, text }, "", answer);
    const percent = field({ label: "", quiet: true, class: "percent", inputmode: "decimal", onset: set,
      onkey: (event) => {
        const by = { ArrowUp: 1, ArrowDown: -1 }[event.key];
        if (!by) return;
        event.preventDefault();
        set(`${Math.round(10 * (figures.colors[place].percent + by)) / 10}`, percent.answer);
      } });
    percent.input.addEventListener("focus", () => percent.input.select());
    shares[place] = percent;
    const less = h("button", { type: "button", class: "bare", onclick: () => step(-1) },
      icon("minus"));
    const more = h("button", { type: "button", class: "bare", onclick: () => step(1) },
      icon("plus"));
    const pick = h("button", { type: "button", class: "row pick", onclick: () => pickFor(place) },
      h("i", { class: "patch" }), h("span", { class: "names" }, h("b"),
        h("span", { class: "soft" })));
    return h("li", {}, pick, less, percent.el, more);
  }

  function draw(given) {
    figures = given;
    const keys = figures.colors.map((c) => c.key).join();
    if (keys !== drawn) {
      drawn = keys;
      rows.replaceChildren(...figures.colors.map(row));
    }
    figures.colors.forEach((color, place) => {
      const [pick, less, , more] = rows.children[place].children;
      pick.querySelector(".patch").style.background = color.chip;
      say(pick.querySelector("b"), color.name);
      say(pick.querySelector(".soft"), color.reflects);
      put(pick, { "aria-label": `${color.name}, ${color.reflects} of the light. Change it or take it out` });
      shares[place].draw(`${color.percent}\u202f%`);
      shares[place].called(`Share of ${color.name}, in percent`);
      put(less, { "aria-label": `Less ${color.name}` });
      put(more, { "aria-label": `More ${color.name}` });
    });
    bar.draw(figures.colors);
    add.disabled = !figures.can_add;
    put(add, { title: figures.can_add ? "" : "Six colors are the most one floor takes" });
    const tint = figures.tints.find((t) => t.key === figures.tint);
    sealPatch.style.background = tint.chip;
    say(sealName, tint.name);
    strip.draw(figures);
    kept.draw(figures);
  }

  return { el, draw, name: "Color", begin: () => el.replaceChildren(main), close: () => { strip.close(); kept.close(); } };
}
