import { h, put } from "./dom.js";
import { field } from "./fields.js";
import { roomOf } from "./hand.js";
import { sideOf } from "./snap.js";

const SIDES = [["east", "east of"], ["west", "west of"], ["north", "north of"], ["south", "south of"]];
const LARGEST_SHEET = 1_000_000;

/** Short ways to begin: a rectangle from two lengths, or a measure sheet from a file. */
export function beginning({ ask, hand }) {
  const says = h("p", { class: "says", role: "alert", hidden: true });
  const across = field({ label: "Across, W to E", onset: () => {},
    onkey: (event) => (event.key === "Enter" && !deep.input.value.trim() ? deep.input.focus() : enter(event)) });
  const deep = field({ label: "Deep, N to S", onset: () => {}, onkey: enter });
  const make = h("button", { type: "button", class: "quiet", "aria-label": "Draw the rectangle", onclick: () => send() }, "Draw");
  const rectangle = h("div", { class: "stack tight short-way" }, h("h3", {}, "Or a plain rectangle"),
    h("div", { class: "pair with-go" }, across.el, deep.el, make), says);
  const file = h("input", { type: "file", id: "pt-sheet", accept: ".toml,text/plain", class: "aloud", onchange: () => read() });
  const refused = h("p", { class: "says", role: "alert", hidden: true });
  const sheet = h("div", { class: "stack tight short-way" },
    h("label", { for: "pt-sheet", class: "as-button" }, "Or open a measure sheet"), file, refused);
  const el = h("div", { class: "stack" }, rectangle, sheet);

  let rooms = [];

  function tell(where, words) {
    where.hidden = !words;
    where.textContent = words;
  }

  function enter(event) {
    if (event.key === "Enter") send();
  }

  function send() {
    const { room: named } = hand.now;
    const sides = { across: across.input.value, deep: deep.input.value };
    ask(() => ({ do: "rectangle", room: hand.meant(named, rooms), ...sides }), "",
      (_, complaint) => {
        tell(says, complaint);
        if (complaint) return;
        for (const one of [across, deep]) one.input.value = "";
      });
  }

  /** Read a sheet here, so that a file that is none is refused before it is sent. */
  async function read() {
    const [given] = file.files;
    file.value = "";
    if (!given) return;
    if (given.size > LARGEST_SHEET) {
      tell(refused, `${given.name} is ${(given.size / 1e6).toFixed(1)} MB; a measure sheet is at most 1 MB.`);
      return;
    }
    try {
      const text = new TextDecoder("utf-8", { fatal: true }).decode(await given.arrayBuffer());
      ask({ do: "sheet", text }, "", (_, complaint) => tell(refused, complaint && `${given.name}: ${complaint}`));
    } catch {
      tell(refused, `${given.name} is not saved as UTF-8 text; a measure sheet is.`);
    }
  }

  function draw(measure) {
    const room = roomOf(measure, hand.now);
    rooms = measure.rooms;
    rectangle.hidden = Boolean(room?.walls.length);
    sheet.hidden = !measure.is_blank;
    el.hidden = rectangle.hidden && sheet.hidden;
  }

  return { el, draw };
}

/** Put a room beside another by keyboard, as a finger drags it. */
export function placing({ ask, hand }) {
  const side = h("select", { "aria-label": "Side" }, SIDES.map(([key, words]) => h("option", { value: key }, words)));
  const other = h("select", { "aria-label": "Beside which room", onchange: () => face() });
  const go = h("button", { type: "button", class: "quiet",
    onclick: () => ask({ do: "room_beside", room: hand.now.room, other: other.value, side: side.value }) }, "Put it there");
  const el = h("div", { class: "stack tight short-way" }, h("h3", {}, "Where this room lies"),
    h("div", { class: "beside" }, side, other, go));

  let here = null;
  let there = [];

  /** Say the side on which it stands now, of the room that is chosen. */
  function face() {
    const beside = there.find((r) => r.name === other.value);
    if (beside) side.value = sideOf(here.corners, beside.corners);
  }

  /** Of a `room` that closes, and others there are: it is asked where it lies, here as by finger. */
  function draw(measure, room) {
    here = room;
    there = measure.rooms.filter((r) => r !== here && r.walls.length);
    el.hidden = !here || here.open || !there.length;
    const now = JSON.stringify([here?.corners, there.map((r) => [r.name, r.corners])]);
    if (el.hidden || other.dataset.drawn === now) return;
    put(other, { "data-drawn": now });
    const before = other.value;
    other.replaceChildren(...there.map(({ name }) => h("option", { value: name }, name)));
    if (there.some((r) => r.name === before)) other.value = before;
    face();
  }

  return { el, draw };
}
