const ASIDE_PX = [64, 84]; // clear board beside what is measured, on a narrow board and a wide one
const ASIDE_SHARE = 0.085; // of the board's width, between the two
const OVER_PX = 56;
const UNDER_PX = 84; // where the tools stand
const MOST_PX = 26; // a foot is never larger
const BLANK_PX = 16;
const BLANK_AT = 100; // where Python begins the first room, east and north

/** Which part of the ground the board shows; it stays put while all of it can be seen. */
export function groundView() {
  const view = { px: BLANK_PX, west: BLANK_AT - 16, north: BLANK_AT + 12, wide: 0, high: 0 };

  function fit(corners, wide, high) {
    const resized = wide !== view.wide || high !== view.high;
    Object.assign(view, { wide, high });
    if (!corners.length) {
      Object.assign(view, { px: BLANK_PX, west: BLANK_AT - (wide * 0.28) / BLANK_PX,
        north: BLANK_AT + (high * 0.3) / BLANK_PX });
      return;
    }
    const east = corners.map((c) => c[0]);
    const north = corners.map((c) => c[1]);
    const [left, right] = [Math.min(...east), Math.max(...east)];
    const [low, top] = [Math.min(...north), Math.max(...north)];
    const [a, b] = [at([left, top]), at([right, low])];
    const aside = Math.min(Math.max(wide * ASIDE_SHARE, ASIDE_PX[0]), ASIDE_PX[1]);
    const seen = a[0] >= aside && a[1] >= OVER_PX
      && b[0] <= wide - aside && b[1] <= high - UNDER_PX;
    const small = b[0] - a[0] < wide / 4 && b[1] - a[1] < high / 4 && view.px < MOST_PX / 2;
    if (seen && !small && !resized) return;
    const room = [wide - 2 * aside, high - OVER_PX - UNDER_PX];
    const px = Math.min(room[0] / Math.max(right - left, 12), room[1] / Math.max(top - low, 12), MOST_PX);
    const middle = (high + OVER_PX - UNDER_PX) / 2;
    Object.assign(view, { px, west: (left + right) / 2 - wide / 2 / px, north: (low + top) / 2 + middle / px });
  }

  const at = ([e, n]) => [(e - view.west) * view.px, (view.north - n) * view.px];
  const under = ([x, y]) => [view.west + x / view.px, view.north - y / view.px];
  return { view, fit, at, under };
}
