import { h, put, say } from "./dom.js";
import { field, glyphButton, kept } from "./fields.js";
import { roomOf } from "./hand.js";

/** Doorways between rooms: width, and where along the wall their middle is. */
export function doorwayList({ ask }) {
  const list = h("ul", { class: "cards" });
  const adds = h("div", { class: "repairs" });
  const none = h("p", { class: "soft" },
    "A doorway joins two rooms that stand side by side. Tap the wall between them, or choose here.");
  const el = h("div", { class: "stack" }, none, list, adds);
  const drawList = kept(list, (i) => card({
    ask, what: (do_, more) => ({ do: `doorway_${do_}`, doorway: i, ...more }), name: `doorway ${i + 1}` }));

  function draw({ doorways, joinable }) {
    drawList(doorways.map((d) => ({ ...d, title: `${d.between[0]} and ${d.between[1]}` })));
    adds.replaceChildren(...joinable.map(([first, second]) => h("button", { type: "button", class: "quiet",
      onclick: () => ask({ do: "doorway_between", first, second }) }, `Doorway between ${first} and ${second}`)));
  }

  return { el, draw };
}

/** The door by which the crew leaves. */
export function wayOutForm({ ask, hand }) {
  const says = h("p", { class: "soft" });
  const one = card({ ask, what: (do_, more) => ({ do: `way_out_${do_}`, ...more }), name: "the way out" });
  const wall = h("select", { id: "pt-way-out-wall",
    onfocus: () => show(), onchange: () => show(), onblur: () => hand.take({ wall: -1 }) });
  const mark = h("button", { type: "button", class: "main",
    onclick: () => ask({ do: "way_out_in", room: hand.now.room, wall: Number(wall.value) }) }, "Mark it here");
  const label = h("label", { for: "pt-way-out-wall" });
  const choose = h("div", { class: "pick-wall" },
    label, wall, mark);
  const list = h("ul", { class: "cards" }, one.el);
  const el = h("div", { class: "stack" }, says, list, choose);

  /** The wall that is chosen in the list is seen on the plan. */
  const show = () => hand.take({ wall: Number(wall.value) });

  function draw(measure) {
    const leaving = measure.way_out;
    const room = roomOf(measure, hand.now);
    const isMarked = Boolean(leaving?.room);
    list.hidden = !isMarked;
    says.hidden = isMarked;
    say(says, `${leaving?.says ?? "Not marked yet."} Tap the outer wall by which the crew leaves, or choose it here.`);
    if (isMarked) one.draw({ ...leaving, title: `Way out of ${leaving.room}` });
    choose.hidden = !room?.walls.length;
    say(label, room ? `In ${room.name}, in the middle of` : "");
    const walls = room ? named(room.walls) : [];
    if (String(walls) !== wall.dataset.drawn) {
      wall.dataset.drawn = String(walls);
      wall.replaceChildren(...walls.map((words, i) => h("option", { value: i }, words)));
    }
    say(mark, isMarked ? "Mark it here instead" : "Mark it here");
    put(mark, { class: isMarked ? "quiet" : "main" });
  }

  return { el, draw };
}

/** Walls by the side they lie on; by their number too where that names two alike. */
function named(walls) {
  const words = walls.map((w) => `${w.side} wall, ${w.length}`);
  return words.map((one, i) => (words.filter((w) => w === one).length > 1 ? `${one} (wall ${i + 1})` : one));
}

function card({ ask, what, name }) {
  const title = h("b");
  const width = field({ label: "Width", onset: (text, answer) => ask(what("wide", { text }), "", answer) });
  const along = field({ label: "From the end", onset: (text, answer) => ask(what("along", { text }), "", answer) });
  const remove = glyphButton("close", `Take ${name} out`, () => ask(what("remove", {})));
  const el = h("li", { class: "card" }, h("div", { class: "title small" }, title, remove),
    h("div", { class: "pair" }, width.el, along.el));
  const draw = (opening) => {
    say(title, opening.title);
    width.draw(opening.width);
    along.draw(opening.along);
    along.called(`From the ${opening.end} end`);
  };
  return { el, draw };
}
