import { h, put, unflung } from "./dom.js";

const SPACE = "http://www.w3.org/2000/svg";
const LEAST_PX = 0.8; // closer places tell nothing new
const MOST_PLACES = 2000;
const MOST_STROKES = 200;

/** Path of a stroke, smooth through the middles between its places, as on the paper. */
function inkPath(places, across) {
  const at = ([x, y]) => `${(x * across).toFixed(4)} ${y.toFixed(4)}`;
  const [first, ...rest] = places;
  if (!rest.length) return `M${at(first)}l0 0`;
  const curves = rest.slice(0, -1).map((place, i) => {
    const next = rest[i + 1];
    return `Q${at(place)} ${at([(place[0] + next[0]) / 2, (place[1] + next[1]) / 2])}`;
  });
  return `M${at(first)}${curves.join("")}L${at(rest.at(-1))}`;
}

/** A signature as it was given. */
export function ink() {
  const svg = document.createElementNS(SPACE, "svg");
  put(svg, { class: "ink", "aria-hidden": "true", preserveAspectRatio: "xMidYMid meet" });

  function draw(strokes, across) {
    put(svg, { viewBox: `0 0 ${across} 1` });
    svg.replaceChildren(...strokes.map((places) => {
      const path = document.createElementNS(SPACE, "path");
      path.setAttribute("d", inkPath(places, across));
      return path;
    }));
  }

  return { el: svg, draw };
}

/** The box to sign in, with finger, pen or mouse. */
export function signingBox({ onink }) {
  const drawn = ink();
  const el = h("div", { class: "sign-box", role: "img" }, h("span", { class: "line", "aria-hidden": "true" }),
    drawn.el, h("span", { class: "soft", "aria-hidden": "true" }, "Sign above the line, finger, pen or mouse"));
  let strokes = [];
  let held = null;
  let hasPen = false;

  function show() {
    drawn.draw(strokes, ratio());
    put(el, { "aria-label": strokes.length
      ? `Box to sign in, ${strokes.length} ${strokes.length > 1 ? "strokes" : "stroke"} drawn`
      : "Box to sign in, empty. To sign by keyboard choose Type it" });
    el.classList.toggle("inked", strokes.length > 0);
    onink(strokes.length);
  }

  const ratio = () => (el.clientHeight ? el.clientWidth / el.clientHeight : 3);

  function place(event) {
    const box = el.getBoundingClientRect();
    const share = (v) => Math.round(Math.min(Math.max(v, 0), 1) * 1e4) / 1e4;
    return [share((event.clientX - box.left) / box.width), share((event.clientY - box.top) / box.height)];
  }

  function add(event) {
    const stroke = strokes.at(-1);
    const [x, y] = place(event);
    const [lastX, lastY] = stroke.at(-1);
    const moved = Math.hypot((x - lastX) * el.clientWidth, (y - lastY) * el.clientHeight);
    if (moved < LEAST_PX) return;
    if (stroke.length < MOST_PLACES) stroke.push([x, y]);
    else if (strokes.length < MOST_STROKES) strokes.push([stroke.at(-1), [x, y]]);
  }

  unflung(el).addEventListener("pointerdown", (event) => {
    if (held !== null || event.button > 0 || strokes.length >= MOST_STROKES) return;
    hasPen ||= event.pointerType === "pen";
    if (hasPen && event.pointerType === "touch") return; // the heel of the hand that holds the pen
    event.preventDefault();
    el.setPointerCapture(event.pointerId);
    held = event.pointerId;
    strokes.push([place(event)]);
    show();
  });
  el.addEventListener("pointermove", (event) => {
    if (event.pointerId !== held) return;
    const all = event.getCoalescedEvents?.() ?? [];
    (all.length ? all : [event]).forEach(add);
    show();
  });
  for (const end of ["pointerup", "pointercancel"])
    el.addEventListener(end, (event) => { if (event.pointerId === held) held = null; });

  function leave(kept) {
    strokes = kept;
    held = null;
    show();
  }

  show();
  return {
    el,
    given: () => ({ strokes, ratio: ratio() }),
    takeBack: () => leave(strokes.slice(0, -1)),
    clear: () => leave([]),
  };
}
