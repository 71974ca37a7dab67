import { h, put, unflung } from "./dom.js";

/** Bar of pigment shares with a handle on every border. */
export function stick({ ask }) {
  const el = h("div", { class: "stick", role: "group", "aria-label": "Shares of the colors" });
  let colors = [];
  let parts = [];
  let handles = [];
  let held = null;
  let gesture = 0;

  const borders = () => colors.slice(0, -1).reduce(
    (all, c) => [...all, (all.at(-1) ?? 0) + c.percent], []);

  function move(place, percent, word) {
    ask({ do: "border", place, percent, gesture: word }, `border.${place}`);
  }

  function handle(place) {
    const one = h("div", { class: "handle", role: "slider", tabindex: "0" });
    const toPercent = (event) => {
      const box = el.getBoundingClientRect();
      return (100 * (event.clientX - box.left)) / box.width;
    };
    unflung(one).addEventListener("pointerdown", (event) => {
      one.setPointerCapture(event.pointerId);
      held = { place, word: `border.${++gesture}` };
    });
    one.addEventListener("pointermove", (event) => {
      if (held?.place === place) move(place, toPercent(event), held.word);
    });
    for (const end of ["pointerup", "pointercancel"])
      one.addEventListener(end, () => (held = null));
    one.addEventListener("keydown", (event) => {
      const by = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[event.key];
      if (!by) return;
      event.preventDefault();
      move(place, borders()[place] + by * (event.shiftKey ? 10 : 1), "");
    });
    return one;
  }

  function draw(given) {
    colors = given;
    if (parts.length !== colors.length) {
      parts = colors.map(() => h("i", { class: "part" }));
      handles = colors.slice(1).map((_, place) => handle(place));
      el.replaceChildren(...parts, ...handles);
    }
    colors.forEach((color, i) => {
      parts[i].style.background = color.chip;
      parts[i].style.width = `${color.percent}%`;
    });
    borders().forEach((percent, i) => {
      handles[i].style.left = `${percent}%`;
      put(handles[i], {
        "aria-label": `Border between ${colors[i].name} and ${colors[i + 1].name}`,
        "aria-valuemin": 0, "aria-valuemax": 100, "aria-valuenow": Math.round(percent),
        "aria-valuetext": `${colors[i].name} ${Math.round(colors[i].percent)} %, `
          + `${colors[i + 1].name} ${Math.round(colors[i + 1].percent)} %`,
      });
    });
  }

  return { el, draw };
}
