/** Make an element: `h("button", { class: "quiet", onclick }, "Words", child)`. */
export function h(tag, given = {}, ...children) {
  const el = document.createElement(tag);
  put(el, given);
  el.append(...children.flat().filter((child) => child !== null && child !== undefined));
  return el;
}

/** Set attributes, listeners (`onclick`) and properties (`.value`) of an element. */
export function put(el, given) {
  for (const [name, value] of Object.entries(given)) {
    if (name.startsWith("on")) el.addEventListener(name.slice(2), value);
    else if (name.startsWith(".")) el[name.slice(1)] = value;
    else if (value === false || value === null || value === undefined) el.removeAttribute(name);
    else el.setAttribute(name, value === true ? "" : value);
  }
  return el;
}

/** Write words only where they changed, so that nothing is read aloud twice. */
export function say(el, words) {
  if (el.textContent !== words) el.textContent = words;
}

/** Whether a field may be gone to unasked: by a finger it would call up a keyboard, and in a
 *  notebook take the focus from its cells. */
export const hasKeys = () => Boolean(document.body.dataset.voila) && matchMedia("(pointer: fine)").matches;

const PATHS = {
  undo: "M8 5 4 9l4 4M4 9h10a5 5 0 0 1 0 10h-4",
  redo: "M16 5l4 4-4 4M20 9H10a5 5 0 0 0 0 10h4",
  plus: "M12 5v14M5 12h14",
  minus: "M5 12h14",
  parted: "M9 7l-5 5 5 5M15 7l5 5-5 5",
  close: "M6 6l12 12M18 6 6 18",
  left: "M20 12H4M10 6l-6 6 6 6",
  right: "M4 12h16M14 6l6 6-6 6",
  arrow: "M12 20V4M6 10l6-6 6 6",
  check: "M5 12.5 10 17 19 7",
  warn: "M12 4 2.8 20h18.4zM12 10v4.5M12 17.4v.2",
  whole: "M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5",
  lock: "M6 11h12v9H6zM8.5 11V8a3.5 3.5 0 0 1 7 0v3",
  save: "M12 4v11M7 10.5l5 5 5-5M5 20h14",
};

/** Draw one of our own glyphs; it is always beside a word or in a named control. */
export function icon(name) {
  const space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg");
  put(svg, { viewBox: "0 0 24 24", class: "glyph", "aria-hidden": "true" });
  const path = document.createElementNS(space, "path");
  path.setAttribute("d", PATHS[name]);
  svg.append(path);
  return svg;
}

/** Let no finger that is drawn over `el` end in a fling: the browser takes the next tap, wherever
 *  it is, for a halt of that and drops it. */
export function unflung(el) {
  el.addEventListener("touchmove", (event) => event.cancelable && event.preventDefault(), { passive: false });
  return el;
}

/** A row of words of which one is on: `draw(key)` marks it. */
export function choice(label, entries, onpick) {
  const buttons = entries.map(([key, words]) =>
    h("button", { type: "button", "aria-pressed": "false", onclick: () => onpick(key) }, words),
  );
  const el = h("div", { class: "choice", role: "group", "aria-label": label }, buttons);
  const draw = (now) =>
    buttons.forEach((b, i) => b.setAttribute("aria-pressed", String(entries[i][0] === now)));
  return { el, draw };
}
