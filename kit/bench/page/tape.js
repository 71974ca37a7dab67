import { h, put, say } from "./dom.js";

const STATIONS = [
  ["rooms", "Rooms"],
  ["color", "Color"],
  ["flow", "Flow"],
  ["sheen", "Sheen"],
  ["price", "Price"],
  ["paper", "Paper"],
];
const QUIET_MS = 700;

/** The measuring tape along the bottom: every step with its choice, and the reading. */
export function tape({ ongo }) {
  const values = {};
  const steps = {};
  const items = STATIONS.map(([key, name]) => {
    values[key] = h("span", { class: "value" });
    steps[key] = h("button", { type: "button", onclick: () => ongo(key) },
      h("b", {}, name), values[key]);
    return h("li", {}, steps[key]);
  });
  const total = h("b", { class: "reading" });
  const perSqft = h("b", { class: "reading", "data-per-sqft": "" });
  const basis = h("span");
  const whole = h("span", {}, "Whole floor");
  const aloud = h("p", { class: "aloud", role: "status" });
  const el = h("footer", { class: "tape" },
    h("nav", { "aria-label": "Steps" }, h("ol", {}, items)),
    h("div", { class: "read" },
      h("div", {}, whole, total),
      h("div", {}, basis, perSqft)),
    aloud);
  let timer = 0;

  function mark(station) {
    for (const [key, step] of Object.entries(steps))
      put(step, { "aria-current": key === station ? "step" : null });
  }

  function draw({ price, stations }) {
    for (const [key, words] of Object.entries(stations)) say(values[key], words);
    say(total, price.total);
    put(total, { "data-total": price.plain });
    say(perSqft, price.per_sqft);
    say(basis, price.basis);
    // Read aloud once things are quiet, not at every place of a drag.
    clearTimeout(timer);
    timer = setTimeout(
      () => say(aloud, price.plain
        ? `${price.total} whole floor, ${price.per_sqft} ${price.basis}` : price.total),
      QUIET_MS,
    );
  }

  const asOf = (time) => say(whole, time ? `As of ${time}` : "Whole floor");
  return { el, draw, mark, asOf };
}
