import { choice, h, put, say } from "./dom.js";

/** How the floor is worked: one vial for every knob that the recipe declares. */
export function flowPanel({ ask }) {
  const usual = h("button", { type: "button", class: "bare wide",
    onclick: () => ask({ do: "usual" }) }, "Back to usual");
  const groups = choice("Which knobs", [["moves", "The moves"], ["film", "In the film"]],
    (key) => { group = key; sort(); });
  const list = h("div", { class: "vials" });
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Flow"), usual),
    groups.el, list);
  const vials = new Map();
  let gesture = 0;
  let group = "moves";

  function sort() {
    groups.draw(group);
    for (const box of list.children) box.hidden = box.dataset.group !== group;
  }

  function vial(knob) {
    const value = h("b", { class: "figure" });
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
    const box = h("div", { class: "vial", title: knob.says, "data-group": knob.group },
      h("div", { class: "title small" },
        h("label", { for: `knob-${knob.name}` }, knob.label), value),
      h("div", { class: "track", style: `--usual:${start / 100}` }, input),
      h("div", { class: "ends soft" }, h("span", {}, knob.ends[0]), h("span", {}, knob.ends[1])),
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
      put(input, { "aria-valuetext": `${knob.shown}, from ${knob.ends[0]} to ${knob.ends[1]}` });
    }
    usual.disabled = knobs.every((k) => k.value === k.start);
  }

  return { el, draw, name: "Flow" };
}
