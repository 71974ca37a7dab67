/** Places in feet east and north, `[e, n]`; pulled onto the grid, right angles and corners. */

const FT_PER_M = 1 / 0.3048;
const US = { step: 0.5, fine: 1, heavy: 5, nudge: 1 / 12, says: "1 square = 1 ft" };
const METRIC = { step: 0.1 * FT_PER_M, fine: 0.5 * FT_PER_M, heavy: 2.5 * FT_PER_M, nudge: 0.01 * FT_PER_M, says: "1 square = 0.5 m" };
let units = { metric: false };

/** The grid in feet, whichever units it is drawn in: its squares, and the step that is snapped to. */
export const grid = () => (units.metric ? METRIC : US);

/** Measure in feet or in meters from here on. */
export function measureIn(given) {
  units = given;
}

const WALL_FT = 0.5; // between two rooms that are put side by side
const SQUARE = Math.tan((14 * Math.PI) / 180);
const DIAGONAL = Math.tan((9 * Math.PI) / 180);

const stepped = (value, from = 0) => from + Math.round((value - from) / grid().step) * grid().step;

function nearest(value, marks, reach) {
  let best = null;
  for (const mark of marks)
    if (Math.abs(mark - value) <= reach && (best === null || Math.abs(mark - value) < Math.abs(best - value)))
      best = mark;
  return best;
}

/** A place on the grid, or on the lines of other corners where one is near. */
export function placed([e, n], corners, reach, from = [0, 0]) {
  return [
    nearest(e, corners.map((c) => c[0]), reach) ?? stepped(e, from[0]),
    nearest(n, corners.map((c) => c[1]), reach) ?? stepped(n, from[1]),
  ];
}

/** End of a wall drawn from one place towards another: square or diagonal where that is near. */
export function squared(from, to, corners, reach) {
  const home = corners.find((c) => Math.hypot(c[0] - to[0], c[1] - to[1]) <= reach);
  if (home) return home;
  const [de, dn] = [to[0] - from[0], to[1] - from[1]];
  const [across, along] = [Math.abs(de), Math.abs(dn)];
  if (along <= across * SQUARE) return [placed(to, corners, reach, from)[0], from[1]];
  if (across <= along * SQUARE) return [from[0], placed(to, corners, reach, from)[1]];
  if (Math.abs(across - along) <= Math.max(across, along) * DIAGONAL) {
    const both = stepped((across + along) / 2);
    return [from[0] + Math.sign(de) * both, from[1] + Math.sign(dn) * both];
  }
  return placed(to, corners, reach, from);
}

/** How far a wall goes to its right when it is dragged by so much, in feet. */
export function shifted([a, b], [de, dn], corners, reach) {
  const long = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const right = [(b[1] - a[1]) / long, -(b[0] - a[0]) / long];
  const by = de * right[0] + dn * right[1];
  const marks = corners.map((c) => (c[0] - a[0]) * right[0] + (c[1] - a[1]) * right[1]);
  return { by: nearest(by, marks.filter((m) => Math.abs(m) > 1e-6), reach) ?? stepped(by), right };
}

/** How far a room goes when it is dragged: on the grid, or in line with another or beside it. */
export function settled(room, others, [de, dn], reach) {
  const axis = (k, by) => {
    const [low, high] = ends(room, k);
    const marks = others.flatMap((other) => {
      const [from, to] = ends(other, k);
      return [to + WALL_FT - low, from - WALL_FT - high, from - low, to - high];
    });
    return nearest(by, marks, reach) ?? stepped(by);
  };
  return [axis(0, de), axis(1, dn)];
}

const ends = (corners, k) => {
  const values = corners.map((c) => c[k]);
  return [Math.min(...values), Math.max(...values)];
};

/** On which side of another room a room stands: where the two are farthest apart. */
export function sideOf(room, other) {
  const [[west, east], [south, north]] = [ends(room, 0), ends(room, 1)];
  const [[left, right], [low, high]] = [ends(other, 0), ends(other, 1)];
  const apart = { east: west - right, west: left - east, north: south - high, south: low - north };
  return Object.keys(apart).reduce((best, side) => (apart[side] > apart[best] ? side : best));
}

/** Square feet within a ring of corners. */
export function areaOf(ring) {
  let twice = 0;
  ring.forEach(([e, n], i) => {
    const [f, m] = ring[(i + 1) % ring.length];
    twice += e * m - f * n;
  });
  return Math.abs(twice) / 2;
}

/** An area as it is read, from square feet. */
export function areaWords(area) {
  const size = units.metric ? area / FT_PER_M ** 2 : area;
  return `${size.toLocaleString("en-US", { maximumFractionDigits: 1 })} ${units.area}`;
}

/** A length as it is read, from feet: 20′ 6″ or 6.25 m. */
export function lengthWords(length) {
  if (units.metric) return `${Math.round((length / FT_PER_M) * 1000) / 1000} m`;
  const inches = Math.round(length * 24) / 2;
  const whole = Math.floor(inches / 12);
  const rest = inches - 12 * whole;
  return `${whole}′ ${Math.floor(rest)}${rest % 1 ? "½" : ""}″`;
}

/** Whether a place lies within a ring. */
export function within([e, n], ring) {
  let inside = false;
  ring.forEach(([ae, an], i) => {
    const [be, bn] = ring[(i + 1) % ring.length];
    if (an > n !== bn > n && e < ae + ((n - an) * (be - ae)) / (bn - an)) inside = !inside;
  });
  return inside;
}

/** How far a place is from a wall. */
export function off([e, n], [a, b]) {
  const [de, dn] = [b[0] - a[0], b[1] - a[1]];
  const part = ((e - a[0]) * de + (n - a[1]) * dn) / (de * de + dn * dn || 1);
  const on = Math.min(Math.max(part, 0), 1);
  return Math.hypot(e - a[0] - on * de, n - a[1] - on * dn);
}
