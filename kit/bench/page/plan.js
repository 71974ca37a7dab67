import { h, put } from "./dom.js";

const SPACE = "http://www.w3.org/2000/svg";
const ROOM_FT = 4; // clear board around the plan

/** The plan on a one-foot grid; labels stay at reading size whatever the scale. */
export function planBoard() {
  const svg = document.createElementNS(SPACE, "svg");
  const surface = document.createElementNS(SPACE, "path");
  surface.setAttribute("class", "surface");
  svg.append(surface);
  put(svg, { "aria-hidden": "true", preserveAspectRatio: "xMidYMid meet" });
  const labels = h("div", { class: "labels" });
  const scale = h("p", { class: "tag scale" }, "1 square = 1 ft");
  const el = h("div", { class: "board", role: "img" }, svg, labels, scale);
  let plan = null;

  function place() {
    if (!plan || !el.clientWidth) return;
    const wide = plan.width + 2 * ROOM_FT;
    const high = plan.height + 2 * ROOM_FT;
    const px = Math.min(el.clientWidth / wide, el.clientHeight / high);
    const left = (el.clientWidth - plan.width * px) / 2;
    const top = (el.clientHeight - plan.height * px) / 2;
    put(svg, { viewBox: `${-left / px} ${-top / px} ${el.clientWidth / px} ${el.clientHeight / px}` });
    el.style.setProperty("--foot", `${px}px`);
    el.style.setProperty("--left", `${left}px`);
    el.style.setProperty("--top", `${top}px`);
    for (const label of labels.children) {
      label.style.left = `${left + label.dataset.x * px}px`;
      label.style.top = `${top + label.dataset.y * px}px`;
    }
  }

  function draw(figures) {
    plan = figures.plan;
    surface.setAttribute("d", plan.path);
    const rooms = plan.rooms.map((room) => h("p", {
      class: "room", "data-x": room.at[0], "data-y": room.at[1] }, h("b", {}, room.name), room.area));
    labels.replaceChildren(
      ...rooms,
      h("p", { class: "tag", "data-x": plan.width / 2, "data-y": -1.6 }, plan.across),
      h("p", { class: "tag", "data-x": -1.9, "data-y": plan.height / 2 }, plan.along));
    put(el, { "aria-label": `Plan, ${plan.across} by ${plan.along}: `
      + plan.rooms.map((r) => `${r.name} ${r.area}`).join(", ") });
    place();
  }

  new ResizeObserver(place).observe(el);
  return { el, draw };
}
