import { within } from "./snap.js";

const STEPS_PX = [0, -12, 12, -24, 24, -36, 36, -48, 48, -64, 64];
const ASIDE = STEPS_PX.flatMap((x) => STEPS_PX.map((y) => [x, y])).sort((a, b) => Math.hypot(...a) - Math.hypot(...b));
const APART_PX = 5; // between a name and what it stands clear of
const BESIDE_PX = 4; // between a column and its size

/** What is written on the plan, each thing where it covers nothing that was placed before it. */
export function written(board, ground) {
  const origin = board.getBoundingClientRect();
  const taken = [];
  const named = [];

  const moved = (box, [x, y]) => ({ left: box.left + x, right: box.right + x, top: box.top + y, bottom: box.bottom + y });
  const isFree = (at, of = taken) => !of.some((t) => t.left < at.right && t.right > at.left && t.top < at.bottom && t.bottom > at.top);

  const wider = ({ left, right, top, bottom }) => ({
    left: left - APART_PX, right: right + APART_PX, top: top - APART_PX, bottom: bottom + APART_PX });

  function take(elements) {
    taken.push(...[...elements].map((one) => wider(one.getBoundingClientRect())));
  }

  /** Put it at the first of some ways aside that is free, else at the last resort. */
  function put(one, box, aside, resort) {
    const by = aside.find((way) => isFree(moved(box, way))) ?? resort;
    Object.assign(one.style, { marginLeft: `${by[0]}px`, marginTop: `${by[1]}px` });
    taken.push(moved(box, by));
    return moved(box, by);
  }

  /**
   * A length stands by its wall clear of those before it: across the wall or further along it
   * where the place `aside` names first is taken. Whether there was any.
   */
  function length(one, aside) {
    const { style, firstChild } = one;
    Object.assign(style, { marginLeft: 0, marginTop: 0 });
    const box = firstChild.getBoundingClientRect();
    const by = aside.find((way) => isFree(moved(box, way)));
    const [x, y] = by ?? aside[0];
    Object.assign(style, { marginLeft: `${x}px`, marginTop: `${y}px` });
    if (by) taken.push(wider(moved(box, by)));
    return Boolean(by);
  }

  /** What stands beside an opening: outside, where that is free; no name stands over it. */
  function beside(one, aside) {
    named.push(put(one, one.getBoundingClientRect(), aside, aside[0]));
  }

  /** The size of a column stands right of it, else left, under or over it; else not at all. */
  function size(one, radius) {
    const box = one.getBoundingClientRect();
    const [x, y] = [radius + BESIDE_PX + box.width / 2, radius + BESIDE_PX + box.height / 2];
    const aside = [[x, 0], [-x, 0], [0, y], [0, -y]];
    if (aside.some((way) => isFree(moved(box, way)))) put(one, box, aside, aside[0]);
    else one.hidden = true;
  }

  /**
   * The name of a room stands in it as near its middle as there is place, without its area if
   * that alone is too wide; one that its room is too small for, over the room or under it.
   */
  function name(one, room) {
    const corners = room.corners.map(ground.at);
    const [wide, high] = extent(corners);
    const isSmall = () => wide < one.offsetWidth + 8 || high < one.offsetHeight + 8;
    one.classList.toggle("brief", isSmall());
    one.classList.toggle("outside", isSmall());
    const box = one.getBoundingClientRect();
    const over = (high + box.height) / 2 + 8;
    const ring = corners.slice(0, -1);
    const isWithin = (way) => {
      const { left, right, top, bottom } = moved(box, way);
      return [left - 3, right + 3].every((x) => [top - 2, bottom + 2].every((y) => within([x - origin.left, y - origin.top], ring)));
    };
    const aside = isSmall() ? [[0, -over], [0, over]] : room.open ? ASIDE : ASIDE.filter(isWithin);
    named.push(put(one, box, aside, isSmall() ? aside[0] : [0, 0]));
  }

  /** Whether a name had no place but under it. */
  const covers = (one) => !isFree(one.getBoundingClientRect(), named);
  return { take, length, beside, size, name, covers };
}

/** How wide and how high places on the screen lie apart. */
export function extent(corners) {
  return [0, 1].map((k) => {
    const along = corners.map((c) => c[k]);
    return Math.max(...along) - Math.min(...along);
  });
}
