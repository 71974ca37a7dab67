import { planBoard } from "./board.js";
import { columnList } from "./columns.js";
import { h, hasKeys, icon, put, say } from "./dom.js";
import { doorwayJustPut, doorwayList, isApart, wayOutForm } from "./doorways.js";
import { field } from "./fields.js";
import { inHand, roomOf } from "./hand.js";
import { beginning, placing } from "./placing.js";
import { wallRun } from "./run.js";
import { closingCheck, wallList } from "./walls.js";
import { whoForm } from "./who.js";

const NAMES = "the client and your firm";
const SLAB = "old paint or tiles, or a floor below ground level";
const SALE = "what signing at home still needs";
const GIVEN = /^Room \d+$/; // a name that was given to a room by the table

/** What is poured: rooms as they are measured, beside the board that they are drawn on. */
export function roomsPanel({ ask }) {
  const hand = inHand();
  const board = planBoard({ ask, hand });
  const add = h("button", { type: "button", class: "bare wide",
    onclick: () => begin() }, icon("plus"), "Add a room");
  const about = h("button", { type: "button", class: "quiet", "aria-pressed": "false",
    onclick: () => hand.take({ tool: hand.now.tool === "who" ? "walls" : "who" }) }, "Who and where");
  const tabs = h("div", { class: "tabs", role: "group", "aria-label": "Room" });
  const name = field({ label: "What do you call this room?", placeholder: "Kitchen, studio, bay 2", maxlength: 120, required: true,
    onward: () => (roomOf(figures.measure, hand.now)?.walls.length ? null : run.input),
    onset: (text, answer) => call(hand.now.room, text, answer) });
  const remove = h("button", { type: "button", class: "bare wide", "aria-label": "Remove this room", onclick: () => removed() }, icon("close"), "Remove");
  const run = wallRun({ ask, hand, onsent: toName, ondrawn: drawn });
  const walls = wallList({ ask, hand });
  const check = closingCheck({ ask, hand, onagain: again });
  const start = beginning({ ask, hand });
  const place = placing({ ask, hand });
  const justPut = doorwayJustPut({ ask, hand });
  const forms = {
    walls: h("div", { class: "stack" }, run.el, h("div", { class: "named" }, name.el, remove), walls.el, check.el, start.el),
    doorway: doorwayList({ ask }),
    way_out: wayOutForm({ ask, hand }),
    column: columnList({ ask, hand }),
    who: whoForm({ ask }),
  };
  const slot = h("div", { class: "stack" });
  const lacks = h("div", { class: "caution", role: "status", hidden: true });
  const sum = h("p", { class: "sum" });
  const rule = h("p", { class: "soft" });
  const besides = h("p", { class: "soft" });
  const el = h("div", { class: "stack rooms" },
    h("div", { class: "title" }, h("h2", {}, "Rooms"), h("span", { class: "acts" }, about, add)),
    tabs, slot, lacks, justPut.el, place.el, h("div", { class: "grow" }), h("div", {}, besides, sum, rule));
  let figures = null;
  let leaving = "";
  let drawnTool = "";
  let drawnTabs = "";
  let refused = ""; // why no further room was begun

  /** Begin a room; none is in hand until it comes, so that what is typed meanwhile means it. */
  function begin() {
    const before = hand.now.room;
    hand.take({ tool: "walls", room: "", wall: -1, waits: true });
    ask({ do: "room_new", name: "" }, "", (_, complaint) => {
      const waiting = figures.measure.rooms.find((r) => !r.walls.length);
      // the answer may be here before the room is; the board takes that in hand
      if (!hand.now.room && (waiting || complaint)) hand.take({ room: waiting?.name ?? before });
      refused = complaint;
      lay();
      if (complaint) lacks.scrollIntoView({ block: "nearest" });
    });
    run.input.focus();
  }

  const isGiven = (words) => !words || GIVEN.test(words);

  /** Once the walls are typed, the name of a room is, if it has none of its own. */
  function toName() {
    if (!isGiven(name.input.value)) return;
    name.input.focus();
    name.input.select();
  }

  /** The walls are there: go on from where nothing more is typed. */
  function drawn(room) {
    if (room.open && document.activeElement === name.input) walls.input.focus();
    else if (isGiven(name.input.value)) toName();
    else if (document.activeElement !== name.input) add.focus();
  }

  /** Call the room in hand otherwise, or begin one of that name. */
  function call(room, text, answer) {
    let meant = room;
    const asked = () => {
      meant ||= hand.now.room;
      return meant ? { do: "room_name", room: meant, name: text } : { do: "room_new", name: text };
    };
    ask(asked, "", (complaint) => {
      const name = text.trim();
      if (!complaint && figures.measure.rooms.some((r) => r.name === name)) hand.rename(meant, name);
      answer(complaint);
    });
  }

  /** Once: what is pressed twice in a hurry does not remove the next room too. */
  function removed() {
    if (leaving === hand.now.room) return;
    leaving = hand.now.room;
    ask({ do: "room_remove", room: leaving }, "", () => (leaving = ""));
  }

  function again(wall) {
    hand.take({ wall });
    const input = walls.show(wall);
    input?.focus();
    input?.select();
  }

  function room(one) {
    return h("button", { type: "button", "aria-pressed": "false",
      onclick: () => hand.take({ room: one.name, wall: -1 }) },
      one.name, one.open ? h("span", { class: "badge" }, "open") : "");
  }

  function drawTabs({ rooms }) {
    const now = JSON.stringify(rooms.map((r) => [r.name, r.open]));
    if (now !== drawnTabs) {
      drawnTabs = now;
      tabs.replaceChildren(...rooms.map(room));
    }
    tabs.hidden = rooms.length < 2;
    rooms.forEach((r, i) => put(tabs.children[i], { "aria-pressed": String(r.name === hand.now.room) }));
  }

  /** What is not in the price yet; the room in hand is being measured, and says so itself. */
  function drawLacks({ lacks: all, joinable }) {
    const told = [...(refused ? [{ says: refused, offers: [] }] : []), ...all].filter((one) => one.waits || one.room !== hand.now.room);
    const offers = told.flatMap((one) => one.offers);
    const joins = told.some(isApart) ? joinable : [];
    lacks.hidden = !told.length || hand.now.tool === "who";
    const now = JSON.stringify([told, offers, joins]);
    if (lacks.dataset.drawn === now) return;
    lacks.dataset.drawn = now;
    lacks.replaceChildren(icon("warn"), h("div", { class: "stack tight" },
      told.map((one) => h("p", {}, one.says)),
      h("div", { class: "repairs" },
        offers.map(([words, wish]) => offer(words, () => ask(wish))),
        joins.map(([first, second]) => offer(`Doorway between ${first} and ${second}`, () => justPut.join(first, second))))));
  }

  const offer = (words, onclick) => h("button", { type: "button", class: "quiet", onclick }, words);

  function lay() {
    if (!figures) return;
    const { measure } = figures;
    const { tool } = hand.now;
    drawTabs(measure);
    drawLacks(measure);
    justPut.draw(measure);
    put(about, { "aria-pressed": String(tool === "who") });
    const form = forms[tool];
    if (tool !== drawnTool) {
      drawnTool = tool;
      slot.replaceChildren(form.el ?? form);
    }
    const mine = roomOf(measure, hand.now);
    if (tool === "who") form.draw(figures);
    else if (tool !== "walls") form.draw(measure, figures.units);
    else {
      run.measured(figures.units);
      name.called(mine ? "Name of the room" : "What do you call this room?");
      const before = name.input.value;
      name.draw(mine?.name ?? "");
      // what is typed next takes the place of a name that came while one was waited for
      if (name.input.value !== before && document.activeElement === name.input) name.input.select();
      remove.hidden = !mine;
      walls.draw(measure);
      run.draw(measure);
      check.draw(measure);
      start.draw(measure);
    }
    place.draw(measure, tool === "walls" && mine);
    tabs.classList.toggle("off", tool === "who");
    const { poured, price } = figures;
    say(sum, price.plain ? `Poured in all: ${poured.area}, walls ${poured.walls}` : "");
    say(rule, price.plain ? `${price.rule} Walls: less the doorways between rooms.` : "");
    const asked = figures.who;
    const isTold = Boolean(asked.year_built) || Object.values(asked.slab).some(Boolean);
    besides.hidden = tool === "who" || measure.is_blank;
    const waits = [!(asked.client.name && asked.firm.name) && NAMES, !isTold && SLAB, figures.paper.sale.lacks.length && SALE].filter(Boolean);
    say(besides, waits.length ? `In Who and where: ${waits.join("; ")}.` : "");
  }

  hand.follow((now) => {
    lay();
    if (now.tool === "walls" && now.wall >= 0) walls.show(now.wall);
  });

  function draw(given) {
    figures = given;
    refused = "";
    lay();
  }

  /** A blank table waits for walls. */
  function enter() {
    if (figures.measure.is_blank && hasKeys()) setTimeout(() => run.input.focus());
  }

  return { el, draw, enter, board, name: "Rooms", begin: () => hand.take({ tool: "walls", room: "", wall: -1, waits: false }) };
}
