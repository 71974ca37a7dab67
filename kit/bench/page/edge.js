import { h, icon, put, unflung } from "./dom.js";

/** The wet edge: a line the finger or the arrow keys draw across the floor. */
export function edge({ onmove, onrest }) {
  const el = h("div", { class: "edge", role: "slider", tabindex: "0", hidden: true,
    "aria-valuemin": 0, "aria-valuemax": 100 }, h("span", { class: "grip" }, icon("parted")));
  let at = 0.5;
  let held = false;

  function move(to) {
    at = Math.min(Math.max(to, 0), 1);
    onmove(at);
  }

  function under(event) {
    const box = el.parentElement.getBoundingClientRect();
    return (event.clientX - box.left) / box.width;
  }

  unflung(el).addEventListener("pointerdown", (event) => {
    el.setPointerCapture(event.pointerId);
    held = true;
  });
  el.addEventListener("pointermove", (event) => held && move(under(event)));
  for (const end of ["pointerup", "pointercancel"])
    el.addEventListener(end, () => {
      if (held) onrest(at);
      held = false;
    });
  el.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 0.1 : 0.01;
    const to = {
      ArrowLeft: at - step, ArrowDown: at - step, ArrowRight: at + step, ArrowUp: at + step,
      PageDown: at - 0.1, PageUp: at + 0.1, Home: 0, End: 1,
    }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    move(to);
    onrest(at);
  });

  /** Stand at `to`, unless a finger holds the edge. */
  function place(to) {
    if (!held) move(to);
  }

  function draw(tags) {
    const [one, other] = tags.map(([name]) => name);
    const percent = Math.round(at * 100);
    put(el, {
      "aria-label": other ? `Edge between ${one} and ${other}` : "Edge between two finishes",
      "aria-valuenow": percent,
      "aria-valuetext": other ? `${one} ${percent} %, ${other} ${100 - percent} %` : null,
    });
  }

  return { el, draw, place };
}
