import { h, put } from "./dom.js";

const SPACE = "http://www.w3.org/2000/svg";
const AROUND_PX = 92; // clear board around the plan, wide enough for its tags
const TAG_PX = 40;
const AREA_PX = 80; // a room narrower than this shows its name only; the panel has its area

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
    const px = Math.min(
      (el.clientWidth - 2 * AROUND_PX) / plan.width,
      (el.clientHeight - 2 * AROUND_PX) / plan.height,
    );
    const left = (el.clientWidth - plan.width * px) / 2;
    const top = (el.clientHeight - plan.height * px) / 2;
    put(svg, { viewBox: `${-left / px} ${-top / px} ${el.clientWidth / px} ${el.clientHeight / px}` });
    el.style.setProperty("--foot", `${px}px`);
    el.style.setProperty("--left", `${left}px`);
    el.style.setProperty("--top", `${top}px`);
    for (const label of labels.children) {
      const [x, y, right, down] = label.dataset.at.split(" ").map(Number);
      label.style.left = `${left + x * px + right * TAG_PX}px`;
      label.style.top = `${top + y * px + down * TAG_PX}px`;
      label.classList.toggle("tight", 2 * label.dataset.clear * px < AREA_PX);
    }
  }

  function draw(figures) {
    plan = figures.plan;
    surface.setAttribute("d", plan.path);
    const rooms = plan.rooms.map((room) => h("p", {
      class: "room", "data-at": `${room.at.join(" ")} 0 0`, "data-clear": room.clear }, h("b", {}, room.name), h("span", {}, room.area)));
    labels.replaceChildren(
      ...rooms,
      h("p", { class: "tag", "data-at": `${plan.width / 2} 0 0 -1` }, plan.across),
      h("p", { class: "tag", "data-at": `0 ${plan.height / 2} -1.2 0` }, plan.along));
    put(el, { "aria-label": `Plan, ${plan.across} by ${plan.along}: `
      + plan.rooms.map((r) => `${r.name} ${r.area}`).join(", ") });
    place();
  }

  new ResizeObserver(place).observe(el);
  return { el, draw };
}
