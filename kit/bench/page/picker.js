import { h, icon } from "./dom.js";

/** Choose one pigment or tint from all that are on the shelf. */
export function picker({ title, things, now, taken, onpick, onback, onremove }) {
  const options = things.map((thing) => {
    const inUse = taken.includes(thing.key) && thing.key !== now;
    return h("button", {
      type: "button", role: "radio", class: "row option-patch", disabled: inUse,
      "aria-checked": String(thing.key === now), onclick: () => onpick(thing.key),
    },
    h("i", { class: "patch", style: `background:${thing.chip}` }),
    h("span", { class: "names" }, h("b", {}, thing.name),
      h("span", { class: "soft" }, inUse ? "in this floor" : thing.reflects)));
  });
  const group = h("div", { class: "patches", role: "radiogroup", "aria-label": title }, options);
  group.addEventListener("keydown", (event) => {
    const step = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[event.key];
    if (event.key === "Escape") onback();
    if (!step) return;
    event.preventDefault();
    const free = options.filter((o) => !o.disabled);
    const at = free.indexOf(document.activeElement);
    free[(at + step + free.length) % free.length].focus();
  });
  return h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, title),
      h("button", { type: "button", class: "bare wide", onclick: onback }, icon("left"), "Back")),
    h("p", { class: "soft" }, "The figure says how much of the light each one reflects."),
    group,
    onremove ? h("button", { type: "button", class: "quiet", onclick: onremove },
      "Take this color out") : null);
}
