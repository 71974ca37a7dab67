import { extent, written } from "./clear.js";
import { choice, h, put, say } from "./dom.js";
import { isApart } from "./doorways.js";
import { drags } from "./drags.js";
import { roomOf } from "./hand.js";
import { grid, measureIn, within } from "./snap.js";
import { sketch } from "./sketch.js";
import { groundView } from "./view.js";

const TOOLS = [["walls", "Walls"], ["doorway", "Doorway"], ["way_out", "Way out"], ["column", "Column"]];
const SAYS = {
  doorway: "Tap the wall that two rooms share.",
  way_out: "Tap the wall by which the crew leaves.",
  column: "Tap where a column stands; drag one to move it.",
};
const TAG_PX = [84, 40]; // a wall shorter than this has its length in the list only
const ASIDE_TAG_PX = 8; // between a wall and its tag, which covers no doorway in it
const ALONG = [0, -0.22, 0.22]; // of a wall, from its middle, where its tag may stand
const OUT_FT = 0.5; // beside a wall, to tell its outside
const BESIDE_WAY_OUT_PX = 14;
const ROOMY_PX = [190, 130]; // a room smaller than this has no room for tags and a name within
const OUTWARD = { north: [0, 1], "north-east": [1, 1], east: [1, 0], "south-east": [1, -1], south: [0, -1], "south-west": [-1, -1], west: [-1, 0], "north-west": [-1, 1] };
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

/** The plan on a grid: every wall is drawn, dragged and tapped here. */
export function planBoard({ ask, hand }) {
  const ground = groundView();
  const drawing = sketch(ground);
  const labels = h("div", { class: "labels" });
  const names = h("div", { class: "names-on" });
  const sizes = h("div", { class: "sizes-on", "aria-hidden": "true" });
  const leaving = h("p", { class: "leaving", hidden: true }, "Way out");
  const tools = choice("Tool", TOOLS, (tool) => hand.take({ tool, wall: -1 }));
  tools.el.classList.add("tools");
  const hint = h("p", { class: "tag" });
  const other = h("button", { type: "button", class: "quiet",
    onclick: () => ask({ do: "units", units: other.dataset.units }) });
  const scale = h("div", { class: "scale" }, hint, other);
  const blank = h("div", { class: "tag start" }, h("b", {}, "Start with the walls."),
    h("span", {}, "Type all their lengths in one line beside, or drag the first wall here. The price appears when the walls close."));
  const says = h("p", { class: "refused", role: "alert", hidden: true });
  const el = h("div", { class: "board", role: "group" },
    drawing.el, sizes, names, h("div", { class: "names-on" }, leaving), labels, blank, says, scale, tools.el);
  let measure = null;
  let nudge = null;
  let asides = []; // of every wall's tag, the ways it may be put aside

  function refuse(complaint) {
    says.hidden = !complaint;
    say(says, complaint);
  }

  const wish = (asked, key = "") => ask(asked, key, (_, complaint) => refuse(complaint));

  const gestures = drags({ el, ground, hand, wish, measured: () => measure, preview });

  function lay() {
    if (!measure || !el.clientWidth) return;
    if (!gestures.isDragging()) {
      const corners = measure.rooms.filter((r) => r.walls.length).flatMap((r) => r.corners);
      ground.fit(corners, el.clientWidth, el.clientHeight);
    }
    const { px, west, north } = ground.view;
    el.style.setProperty("--square", `${px * grid().fine}px`);
    el.style.setProperty("--heavy-square", `${px * grid().heavy}px`);
    el.style.setProperty("--left", `${-west * px}px`);
    el.style.setProperty("--top", `${north * px}px`);
    drawing.draw(measure, hand.now);
    hinted();
    nameRooms();
    sizeColumns();
    nameWayOut();
    mark();
    clear();
  }

  function hinted() {
    const isMarked = measure.way_out?.room || measure.rooms.every((room) => room.open);
    const status = [grid().says, measure.lacks.some(isApart) && "a doorway is missing",
      !isMarked && "way out not marked yet"].filter(Boolean).join("; ");
    say(hint, SAYS[hand.now.tool] ?? status);
  }

  /** What a finger is just doing; price and areas wait for the end of it. */
  function preview(shows) {
    drawing.preview(shows);
    if (shows) say(hint, "The price follows when you let go.");
    else hinted();
  }

  // The few walls of a room just begun have their tags where its name would stand.
  const isNamed = (room) => room.walls.length > 2 || (room.walls.length && room.name !== hand.now.room);

  function nameRooms() {
    names.replaceChildren(...measure.rooms.filter(isNamed).map((room) => {
      const [x, y] = ground.at(middle(room));
      const words = room.open ? "open" : room.area;
      return h("p", { class: "room", style: `left:${x}px;top:${y}px` }, h("b", {}, room.name), h("span", {}, words));
    }));
  }

  /** How large a column is, beside it. */
  function sizeColumns() {
    sizes.replaceChildren(...measure.rooms.flatMap((room) => room.columns.map((column) => {
      const [x, y] = ground.at(column.at);
      return h("p", { class: "soft", style: `left:${x}px;top:${y}px` }, column.sizes.join(" × "));
    })));
  }

  /** The door by which the crew leaves is no doorway, and says so. */
  function nameWayOut() {
    leaving.hidden = !measure.way_out?.room;
    if (leaving.hidden) return;
    const [x, y] = ground.at(measure.way_out.at);
    Object.assign(leaving.style, { left: `${x}px`, top: `${y}px`, marginLeft: 0, marginTop: 0 });
  }

  /** Where the words at the way out may stand: outside of it, else within. */
  function besideWayOut() {
    const { at, ahead, room } = measure.way_out;
    const ring = measure.rooms.find((one) => one.name === room)?.corners ?? [];
    const isOut = !within([at[0] - ahead[1] * OUT_FT, at[1] + ahead[0] * OUT_FT], ring);
    const [east, north] = isOut ? [-ahead[1], ahead[0]] : [ahead[1], -ahead[0]];
    const { offsetWidth, offsetHeight } = leaving;
    const off = Math.abs(east) * (offsetWidth / 2) + Math.abs(north) * (offsetHeight / 2) + BESIDE_WAY_OUT_PX;
    const along = Math.abs(ahead[0]) > Math.abs(ahead[1]) ? offsetWidth : offsetHeight;
    return [1, -1].flatMap((side) => [0, 0.75, -0.75].map((by) => [
      side * east * off + by * along * ahead[0], -side * north * off - by * along * ahead[1]]));
  }

  /** Tags on the walls and handles on the corners of the room in hand; kept, not made anew. */
  function mark() {
    const room = hand.now.tool === "walls" ? roomOf(measure, hand.now) : null;
    const walls = room ? room.walls : [];
    const corners = room ? room.corners.slice(0, room.open ? undefined : -1) : [];
    const shownCorners = room && !walls.length ? [] : corners;
    fill("corner", shownCorners.length, handle);
    fill("wall-tag", walls.length, tag);
    shownCorners.forEach((corner, i) => {
      const one = part("corner", i);
      place(one, ground.at(corner));
      const isEnd = room.open && i === corners.length - 1 && i > 0;
      one.classList.toggle("end", isEnd);
      put(one, { "aria-label": isEnd ? `End of wall ${i}, draw on from here`
        : `Corner ${i + 1} of ${room.name}. Arrow keys move it` });
    });
    const isTight = shownCorners.length > 0 && tight(shownCorners.map(ground.at));
    asides = [];
    walls.forEach((wall, i) => {
      const one = part("wall-tag", i);
      const [a, b] = [room.corners[i], room.corners[i + 1]].map(ground.at);
      const isShort = Math.abs(b[0] - a[0]) < TAG_PX[0] && Math.abs(b[1] - a[1]) < TAG_PX[1];
      one.classList.toggle("short", isShort && i !== hand.now.wall);
      say(one.firstChild, wall.length);
      const { offsetWidth, offsetHeight } = one.firstChild;
      // within the room, so that no doorway and no other room's name is covered; outside where it is small
      const [out, up] = OUTWARD[wall.side].map((way) => (isTight ? way : -way));
      const [x, y] = [out * (offsetWidth / 2 + ASIDE_TAG_PX), -up * (offsetHeight / 2 + ASIDE_TAG_PX)];
      place(one, [(a[0] + b[0]) / 2 + x, (a[1] + b[1]) / 2 + y]);
      asides[i] = [[0, 0], [-2 * x, -2 * y]].flatMap((over) => ALONG.map((by) => over.map((way, k) => way + by * (b[k] - a[k]))));
      put(one, { "aria-pressed": String(i === hand.now.wall),
        "aria-label": `Wall ${i + 1}, ${wall.length} ${wall.towards}` });
    });
  }

  /** Names and sizes stand clear of the lengths on the walls and of each other. */
  function clear() {
    const plan = written(el, ground);
    const tags = [...labels.querySelectorAll(".wall-tag:not(.short)")];
    const isChosen = (one) => one.ariaPressed === "true";
    tags.filter((one) => !plan.length(one, asides[one.dataset.number]) && !isChosen(one)).forEach((one) => one.classList.add("short"));
    plan.take(drawing.el.querySelectorAll(".jamb"));
    if (!leaving.hidden) plan.beside(leaving, besideWayOut());
    const columns = measure.rooms.flatMap((room) => room.columns);
    columns.forEach((column, i) => plan.size(sizes.children[i], (column.size_ft[0] / 2) * ground.view.px));
    measure.rooms.filter(isNamed).forEach((room, i) => plan.name(names.children[i], room));
    // a length is in the list too, a name is not
    tags.filter((one) => !isChosen(one) && plan.covers(one.firstChild)).forEach((one) => one.classList.add("short"));
  }

  const part = (kind, i) => labels.querySelector(`.${kind}[data-number="${i}"]`);

  function fill(kind, count, make) {
    const there = labels.querySelectorAll(`.${kind}`);
    for (let i = count; i < there.length; i += 1) part(kind, i).remove();
    for (let i = there.length; i < count; i += 1) labels.append(make(i));
  }

  const place = (one, [x, y]) => Object.assign(one.style, { left: `${x}px`, top: `${y}px` });

  function handle(i) {
    return h("button", { type: "button", class: "corner", "data-number": i,
      onkeydown: (event) => nudged(event, i) });
  }

  function tag(i) {
    return h("button", { type: "button", class: "wall-tag", "data-number": i,
      onclick: () => hand.take({ wall: i }),
      onkeydown: (event) => event.key === "Delete"
        && wish({ do: "wall_remove", room: hand.now.room, wall: i }) }, h("span"));
  }

  /** Arrow keys move a corner by the step of the grid, with shift by an inch or a centimeter. */
  function nudged(event, i) {
    const arrow = ARROWS[event.key];
    if (!arrow) return;
    event.preventDefault();
    const step = event.shiftKey ? grid().nudge : grid().step;
    const from = nudge?.corner === i ? nudge.at : roomOf(measure, hand.now).corners[i];
    nudge = { corner: i, at: [from[0] + arrow[0] * step, from[1] + arrow[1] * step] };
    clearTimeout(nudge.timer);
    nudge.timer = setTimeout(() => (nudge = null), 800);
    wish({ do: "corner", room: hand.now.room, corner: i, east_ft: nudge.at[0], north_ft: nudge.at[1] },
      `corner.${i}`);
  }

  function draw(figures) {
    const before = measure;
    measure = figures.measure;
    measureIn(figures.units);
    say(other, figures.units.metric ? "In feet" : "In meters");
    other.dataset.units = figures.units.metric ? "us" : "metric";
    refuse("");
    choose(before);
    blank.hidden = !measure.is_blank;
    put(el, { "aria-label": measure.is_blank ? "Board, nothing measured yet"
      : `Plan: ${measure.rooms.map((r) => `${r.name} ${r.open ? "open" : r.area}`).join(", ")}` });
    lay();
  }

  /** Keep a room in hand that is there: the one just begun, else the one of before. */
  function choose(before) {
    const known = new Set(before?.rooms.map((r) => r.name));
    const fresh = before ? measure.rooms.filter((r) => !known.has(r.name)) : [];
    const here = roomOf(measure, hand.now);
    if (fresh.length === 1 && (!here || measure.rooms.length > known.size))
      hand.take({ room: fresh[0].name, wall: -1 });
    else if (hand.now.waits) return;
    else if (!here)
      hand.take({ room: (measure.rooms.find((r) => r.open) ?? measure.rooms[0])?.name ?? "", wall: -1 });
    else if (hand.now.wall >= here.walls.length) hand.take({ wall: -1 });
  }

  hand.follow((now) => {
    tools.draw(now.tool);
    el.dataset.tool = now.tool;
    lay();
  });
  new ResizeObserver(lay).observe(el);
  hand.take({});
  return { el, draw };
}

/** Whether corners on the screen leave no room for the name of what they enclose. */
function tight(corners) {
  return extent(corners).some((size, k) => size < ROOMY_PX[k]);
}

function middle(room) {
  const ring = room.corners.slice(0, room.open ? undefined : -1);
  const east = ring.map((c) => c[0]);
  const north = ring.map((c) => c[1]);
  if (room.label) return room.label;
  return [(Math.min(...east) + Math.max(...east)) / 2, (Math.min(...north) + Math.max(...north)) / 2];
}
