import { h, put, say } from "./dom.js";
import { areaOf, areaWords, lengthWords } from "./snap.js";

const SPACE = "http://www.w3.org/2000/svg";
const JAMB_PX = 7;

/** The lines of the plan, in pixels of the screen. */
export function sketch(ground) {
  const svg = document.createElementNS(SPACE, "svg");
  put(svg, { "aria-hidden": "true" });
  const layers = ["floors", "stands", "outlines", "chosen", "openings", "live"].map((name) => {
    const layer = document.createElementNS(SPACE, "g");
    put(layer, { class: name });
    svg.append(layer);
    return layer;
  });
  const [floors, stands, outlines, chosen, openings, live] = layers;
  const reading = h("p", { class: "tag reading-on", hidden: true });
  const el = h("div", { class: "sketch" }, svg, reading);

  const at = (place) => ground.at(place).map((v) => v.toFixed(1)).join(" ");
  const path = (corners, isRing) => `M${corners.map(at).join("L")}${isRing ? "Z" : ""}`;

  function line(layer, d, kind = "") {
    const one = document.createElementNS(SPACE, "path");
    put(one, { d, class: kind });
    layer.append(one);
    return one;
  }

  function draw(measure, now) {
    for (const layer of [floors, stands, outlines, openings, chosen]) layer.replaceChildren();
    for (const room of measure.rooms) {
      if (!room.walls.length) continue;
      const kind = room.name === now.room ? "mine" : "";
      const ring = room.drawn ?? room.corners.slice(0, -1);
      if (!room.open) line(floors, path(ring, true), kind);
      line(outlines, path(room.open ? room.corners : ring, !room.open),
        `${kind} ${room.open ? "open" : ""}`);
      for (const column of room.columns) stand(column);
      for (const island of room.islands) line(stands, path(island, true));
      if (kind && now.wall >= 0 && room.walls[now.wall])
        line(chosen, path(room.corners.slice(now.wall, now.wall + 2)));
    }
    for (const doorway of measure.doorways) opening(doorway, "doorway");
    if (measure.way_out?.room) opening(measure.way_out, "way-out");
  }

  function stand({ at: place, round, size_ft }) {
    const [x, y] = ground.at(place);
    const [wide, high] = size_ft.map((v) => v * ground.view.px);
    const one = document.createElementNS(SPACE, round ? "ellipse" : "rect");
    put(one, round ? { cx: x, cy: y, rx: wide / 2, ry: wide / 2 }
      : { x: x - wide / 2, y: y - high / 2, width: wide, height: high });
    stands.append(one);
  }

  /** A gap in the wall between its two jambs. */
  function opening({ at: place, ahead, through, width_ft }, kind) {
    const half = width_ft / 2;
    const here = [-half, half].map((by) => [place[0] + by * ahead[0], place[1] + by * ahead[1]]);
    const there = here.map(([e, n]) => [e + through[0], n + through[1]]);
    line(openings, path([...here, ...there.toReversed()], true), `gap ${kind}`);
    const over = JAMB_PX / ground.view.px;
    here.forEach(([e, n], i) => {
      const aside = ([a, b], by) => [a - ahead[1] * by, b + ahead[0] * by];
      const side = through[0] * -ahead[1] + through[1] * ahead[0] < 0 ? -over : over;
      line(openings, path([aside([e, n], -side), aside(there[i], side)]), "jamb");
    });
  }

  /** What a finger is just doing: corners of it, its length or area beside the finger. */
  function preview(given) {
    live.replaceChildren();
    reading.hidden = !given;
    if (!given) return;
    const { corners, ring, wall, at: place } = given;
    line(live, path(corners, ring));
    const words = [];
    if (wall) words.push(lengthWords(Math.hypot(wall[1][0] - wall[0][0], wall[1][1] - wall[0][1])));
    if (ring) words.push(areaWords(areaOf(corners)));
    say(reading, words.join(", "));
    const [x, y] = ground.at(place);
    Object.assign(reading.style, { left: `${x}px`, top: `${y - 44}px` });
    reading.hidden = !words.length;
  }

  return { el, draw, preview };
}
