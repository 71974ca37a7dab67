import { choice, h, put, say } from "./dom.js";

const USUAL = "The line across each track marks the standard setting.";

/** How the floor is worked: one vial for every knob that the recipe declares. */
export function flowPanel({ ask }) {
  const usual = h("button", { type: "button", class: "bare wide",
    onclick: () => ask({ do: "usual" }) }, "Back to standard");
  const groups = choice("What is changed", [["moves", "Trowel strokes"], ["film", "Fine detail"]],
    (key) => { group = key; sort(); });
  const list = h("div", { class: "vials" });
  const words = h("p", { class: "soft", "aria-hidden": "true" }, USUAL);
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Flow"), usual),
    groups.el, list, words);
  const vials = new Map();
  let gesture = 0;
  let group = "moves";

  function sort() {
    groups.draw(group);
    say(words, USUAL);
    for (const box of list.children) box.hidden = box.dataset.group !== group;
  }

  function vial(knob) {
    const value = h("span");
    const input = h("input", {
      type: "range", min: knob.low, max: knob.high, step: "any", id: `knob-${knob.name}`,
      "aria-describedby": `says-${knob.name}`,
    });
    let word = "";
    input.addEventListener("pointerdown", () => (word = `knob.${++gesture}`));
    input.addEventListener("input", () => {
      fill(input);
      ask({ do: "knob", name: knob.name, value: Number(input.value), gesture: word },
        `knob.${knob.name}`);
    });
    input.addEventListener("change", () => (word = ""));
    input.addEventListener("pointerdown", () => (input.dataset.held = "1"));
    for (const end of ["pointerup", "pointercancel"])
      input.addEventListener(end, () => delete input.dataset.held);
    const start = (100 * (knob.start - knob.low)) / (knob.high - knob.low);
    const tell = () => say(words, knob.says);
    const box = h("div", { class: "vial", "data-group": knob.group,
      onpointerenter: tell, onfocusin: tell },
      h("div", { class: "ends soft" }, h("span", {}, knob.ends[0]),
        h("label", { for: `knob-${knob.name}` }, knob.label, " ", value), h("span", {}, knob.ends[1])),
      h("div", { class: "track", style: `--usual:${start / 100}` }, input),
      h("span", { class: "aloud", id: `says-${knob.name}` }, knob.says));
    vials.set(knob.name, { input, value });
    return box;
  }

  function fill(input) {
    const part = (input.value - input.min) / (input.max - input.min);
    input.style.setProperty("--at", part);
  }

  function draw({ knobs }) {
    if (vials.size !== knobs.length) {
      list.replaceChildren(...knobs.map(vial));
      sort();
    }
    for (const knob of knobs) {
      const { input, value } = vials.get(knob.name);
      if (!input.dataset.held) input.value = knob.value;
      fill(input);
      say(value, knob.shown);
      const place = Math.round((100 * (knob.value - knob.low)) / (knob.high - knob.low));
      put(input, { "aria-valuetext":
        `${knob.shown || `${place} of 100`}, from ${knob.ends[0]} to ${knob.ends[1]}` });
    }
    usual.disabled = knobs.every((k) => k.value === k.start);
  }

  return { el, draw, name: "Flow" };
}
