import { h, hasKeys, put, say } from "./dom.js";
import { field } from "./fields.js";
import { roomOf } from "./hand.js";

const EAST = 90;
const EXAMPLE = { us: "24 6, 18, 24 6, 18", metric: "7.5, 5.4, 7.5, 5.4" };
const READS = {
  us: "Clockwise, a comma after each, then Enter. 24\u00a06 is 24\u00a0ft 6\u00a0in; 24\u00a06\u00a0x\u00a018 is a rectangle; after 9\u00a0left the next wall turns left.",
  metric: "Clockwise, a comma after each, then Enter. 7.5 and 750\u00a0cm are the same; 7.5\u00a0x\u00a05.4 is a rectangle; after 3\u00a0left the next wall turns left.",
};

/** The first way to measure a room: all of its walls in one line, as they are read off. */
export function wallRun({ ask, hand, onsent, ondrawn }) {
  const walls = field({ label: "All walls of the room, in one line", class: "run", onset: () => {},
    onkey: (event) => event.key === "Enter" && send() });
  const go = h("button", { type: "button", class: "main", onclick: () => send() }, "Draw it");
  const hint = h("p", { class: "soft" });
  const el = h("div", { class: "stack tight" }, h("div", { class: "in-one" }, walls.el, go), hint);
  let rooms = [];
  let isSent = false; // until the room shows its walls

  function send() {
    const text = walls.input.value;
    if (!text.trim() || isSent) return;
    const { room: named } = hand.now;
    isSent = true;
    if (hasKeys()) onsent();
    ask(() => ({ do: "walls", room: hand.meant(named, rooms), after: -1, bearing: EAST, text }), "", (complaint) => {
      walls.answer(complaint);
      if (!complaint) return;
      isSent = false;
      walls.input.value = text;
      walls.input.focus();
    });
  }

  function draw(measure) {
    rooms = measure.rooms;
    const room = roomOf(measure, hand.now);
    const isDrawn = Boolean(room?.walls.length);
    const wasHere = isDrawn && isSent;
    el.hidden = isDrawn;
    if (!isDrawn) return;
    isSent = false;
    walls.input.value = "";
    walls.answer("");
    if (wasHere && hasKeys()) ondrawn(room);
  }

  function measured({ metric }) {
    const units = metric ? "metric" : "us";
    put(walls.input, { placeholder: EXAMPLE[units] });
    say(hint, READS[units]);
  }

  return { el, draw, measured, input: walls.input };
}
