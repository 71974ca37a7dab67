import { h, put, say } from "./dom.js";
import { field, glyphButton, kept } from "./fields.js";

/** Whether what is lacking is a doorway: a room that none leads to keeps the price waiting. */
export const isApart = ({ waits, offers }) => waits && !offers.length;

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

/** Figures of the doorway that a button put in, where it stood, until another tool or room is taken up. */
export function doorwayJustPut({ ask, hand }) {
  const el = h("ul", { class: "cards" });
  let pair = null; // of rooms that were asked for
  let place = -1; // among the doorways, once it is there
  let from = {}; // what was in hand then
  const drawOne = kept(el, () => card({
    ask, what: (do_, more) => ({ do: `doorway_${do_}`, doorway: place, ...more }), name: "this doorway" }));

  function join(first, second) {
    pair = [first, second];
    place = -1;
    from = { ...hand.now };
    ask({ do: "doorway_between", first, second });
  }

  function draw({ doorways, rooms }) {
    if (pair && place < 0) place = doorways.findIndex(({ between }) => pair.every((name) => between.includes(name)));
    const one = doorways[place];
    const { tool, room } = hand.now;
    // one that is called otherwise may be in hand before it is drawn
    const isOther = room !== from.room && rooms.some(({ name }) => name === room);
    if (tool !== from.tool || (one && isOther && !one.between.includes(room))) pair = null;
    const isShown = pair && one && tool !== "doorway"; // that tool lists them all
    drawOne(isShown ? [{ ...one, title: `Doorway between ${one.between[0]} and ${one.between[1]}` }] : []);
  }

  return { el, draw, join };
}

/** The door by which the crew leaves, in any outer wall of any room. */
export function wayOutForm({ ask, hand }) {
  const says = h("p", { class: "soft" });
  const one = card({ ask, what: (do_, more) => ({ do: `way_out_${do_}`, ...more }), name: "the way out" });
  const wall = h("select", { id: "pt-way-out-wall",
    onfocus: () => show(), onchange: () => show(), onblur: () => hand.take({ wall: -1 }) });
  const mark = h("button", { type: "button", class: "main", onclick: () => {
    const { room, wall: number } = outer[wall.value];
    ask({ do: "way_out_in", room, wall: number });
  } }, "Mark it here");
  const choose = h("div", { class: "pick-wall" },
    h("label", { for: "pt-way-out-wall" }, "In the middle of the outer wall"), wall, mark);
  const list = h("ul", { class: "cards" }, one.el);
  const el = h("div", { class: "stack" }, says, choose, list);
  let outer = [];
  let inHand = "";
  let wasMarked = false;

  /** The wall that is chosen in the list is seen on the plan. */
  function show() {
    const chosen = outer[wall.value];
    if (!chosen) return;
    inHand = chosen.room;
    hand.take({ room: chosen.room, wall: chosen.wall });
  }

  function draw(measure) {
    const leaving = measure.way_out;
    const isMarked = Boolean(leaving?.room);
    list.style.visibility = isMarked ? "" : "hidden"; // its place stays, and so that of the words: nothing moves
    if (isMarked && !wasMarked) says.style.minHeight = `${says.offsetHeight}px`;
    wasMarked = isMarked;
    say(says, isMarked ? "To move it, tap another outer wall by which the crew can leave, or choose it here."
      : `${leaving?.says ?? "Not marked yet."} Tap the outer wall by which the crew leaves, or choose it here.`);
    if (isMarked) one.draw({ ...leaving, title: `Way out of ${leaving.room}` });
    outer = measure.outer.walls;
    choose.hidden = !outer.length;
    offer(measure.outer);
    say(mark, isMarked ? "Mark it here instead" : "Mark it here");
    put(mark, { class: isMarked ? "quiet" : "main" });
  }

  /** The likeliest one; once a room is taken in hand, the first of that. */
  function offer({ walls, likely }) {
    const words = walls.map(({ says: told }) => told);
    const now = JSON.stringify(words);
    if (now !== wall.dataset.drawn) {
      wall.dataset.drawn = now;
      wall.replaceChildren(...words.map((told, i) => h("option", { value: i }, told)));
      wall.value = String(likely);
      inHand = hand.now.room;
    }
    if (inHand === hand.now.room) return;
    inHand = hand.now.room;
    const mine = walls.findIndex((w) => w.room === inHand);
    if (mine >= 0) wall.value = String(mine);
  }

  return { el, draw };
}

function card({ ask, what, name }) {
  const title = h("b");
  const width = field({ label: "Width", onset: (text, answer) => ask(what("wide", { text }), "", answer) });
  const along = field({ label: "Middle, from the end", onset: (text, answer) => ask(what("along", { text }), "", answer) });
  const remove = glyphButton("close", `Take ${name} out`, () => ask(what("remove", {})));
  const el = h("li", { class: "card" }, h("div", { class: "title small" }, title, remove),
    h("div", { class: "pair" }, width.el, along.el));
  const draw = (opening) => {
    say(title, opening.title);
    width.draw(opening.width);
    along.draw(opening.along);
    along.called(`Middle, from ${opening.end} end`);
  };
  return { el, draw };
}
