import { h, icon } from "./dom.js";

/** Eight directions, as they lie on the board. */
const EIGHT = [[315, "north-west"], [0, "north"], [45, "north-east"], [270, "west"], null, [90, "east"],
  [225, "south-west"], [180, "south"], [135, "south-east"]];

const KEYS = { ArrowUp: 0, ArrowRight: 90, ArrowDown: 180, ArrowLeft: 270 };

/** The direction that an arrow key stands for, in degrees from north; else undefined. */
export const bearingOf = (key) => KEYS[key];

/** Say a direction in words. */
export const towards = (bearing) =>
  EIGHT.find((one) => one && one[0] === bearing)?.[1] ?? `${bearing}° from north`;

/** An arrow that points the way a wall runs. */
export function arrow() {
  const glyph = icon("arrow");
  return { el: glyph, turn: (bearing) => (glyph.style.transform = `rotate(${bearing}deg)`) };
}

/** Eight arrows to choose from. */
export function compass({ onpick }) {
  const buttons = EIGHT.map((one) => {
    if (!one) return h("i");
    const [bearing, words] = one;
    const hand = arrow();
    hand.turn(bearing);
    return h("button", { type: "button", "aria-label": words, title: words, onclick: () => onpick(bearing) }, hand.el);
  });
  return h("div", { class: "compass", role: "group", "aria-label": "Direction of the wall" }, buttons);
}
