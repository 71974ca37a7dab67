import { arrow, bearingOf, compass, towards } from "./compass.js";
import { h, icon, put, say } from "./dom.js";
import { field, glyphButton, kept } from "./fields.js";
import { roomOf } from "./hand.js";

const POINTS = { n: 0, ne: 45, e: 90, se: 135, s: 180, sw: 225, w: 270, nw: 315 };
const SEVERAL = /[;x×]|,\s|\bby\b|\s(r|l|right|left)\s*$/i; // read as a whole by Python

/** The walls of the room in hand, each a direction and a length, and the one to be added. */
export function wallList({ ask, hand }) {
  const list = h("ol", { class: "walls" });
  const next = adder();
  const hint = h("h3", {}, "Or wall by wall; arrows turn one");
  const el = h("div", { class: "stack tight" }, hint, list, next.el);
  const rose = h("div", { class: "rose" });
  const drawWalls = kept(list, row);
  let room = null;
  let rooms = [];
  let turning = -1;

  function wish(asked, answer) {
    const { room: named } = hand.now;
    ask(() => ({ room: hand.meant(named, rooms), ...asked }), "", answer);
  }

  function row(i) {
    const hand_ = arrow();
    let refused = null;
    let entered = null;
    const enter = () => {
      entered = length.input.value;
      if (entered !== refused) onward(i);
    };
    const turn = h("button", { type: "button", class: "turn", onclick: () => open(i),
      onkeydown: (event) => turned(event, (bearing) => wish({ do: "wall_bearing", wall: i, bearing })) }, hand_.el);
    const length = field({ label: `Length of wall ${i + 1}`, quiet: true, class: "length",
      onset: (text, answer) => wish({ do: "wall_length", wall: i, length: text }, (complaint) => {
        answer(complaint);
        refused = complaint ? text : null;
        if (complaint && entered === text) length.input.focus();
        entered = null;
      }),
      onkey: (event) => event.key === "Enter" && enter() });
    const words = h("span", { class: "soft" });
    const insert = glyphButton("plus", `Put a wall after wall ${i + 1}`, () => next.after(i + 1));
    const remove = glyphButton("close", `Take wall ${i + 1} out`, () => wish({ do: "wall_remove", wall: i }));
    const acts = h("span", { class: "acts" }, insert, remove);
    const item = h("li", { onfocusin: () => hand.now.wall !== i && hand.take({ wall: i }) },
      h("span", { class: "number", "aria-hidden": "true" }, i + 1), turn, length.el, words, acts);
    const draw = (wall) => {
      hand_.turn(wall.bearing);
      put(turn, { "aria-label": `Wall ${i + 1} runs ${wall.towards}; turn it` });
      length.draw(wall.length);
      say(words, wall.towards);
      item.classList.toggle("mine", hand.now.wall === i);
    };
    return { el: item, draw };
  }

  function onward(i) {
    queueMicrotask(() => (list.children[i + 1]?.querySelector("input") ?? next.input).focus());
  }

  /** Show the eight arrows under a wall, or put them away. */
  function open(i) {
    turning = turning === i ? -1 : i;
    rose.replaceChildren();
    if (turning < 0) return rose.remove();
    rose.append(compass({ onpick: (bearing) => {
      if (i < 0 || i >= room.walls.length) next.turn(bearing);
      else wish({ do: "wall_bearing", wall: i, bearing });
      open(i);
      (i < room.walls.length ? list.children[i]?.querySelector(".turn") : next.input)?.focus();
    } }));
    if (i < (room?.walls.length ?? 0)) list.children[i].after(rose);
    else next.el.after(rose);
    rose.querySelector("button").focus();
  }

  function turned(event, does) {
    const bearing = bearingOf(event.key);
    if (bearing === undefined) return false;
    event.preventDefault();
    does(bearing);
    return true;
  }

  /** The wall that is typed next: at the end of an open outline, or after a wall. */
  function adder() {
    const hand_ = arrow();
    const number = h("span", { class: "number", "aria-hidden": "true" });
    const button = h("button", { type: "button", class: "turn", onclick: () => open(place()),
      onkeydown: (event) => turned(event, turn) }, hand_.el);
    const length = field({ label: "Length of the next wall", quiet: true, class: "length", onset: add, onkey: key });
    const go = h("button", { type: "button", class: "quiet", onclick: () => length.input.value && add(length.input.value) }, "Add");
    const box = h("div", { class: "next" }, number, button, length.el, go);
    let bearing = 90;
    let sent = 0; // walls on their way, which the list does not show yet
    let at = -1; // after so many walls; -1 is at the end

    const place = () => (at < 0 ? room?.walls.length ?? 0 : at);

    function turn(to) {
      bearing = to;
      hand_.turn(to);
      put(button, { "aria-label": `The next wall runs ${towards(to)}; turn it` });
    }

    function key(event) {
      if (event.key === "Enter") return add(length.input.value);
      const { selectionStart, selectionEnd, value } = length.input;
      const isFree = event.key === "ArrowUp" || event.key === "ArrowDown"
        || (event.key === "ArrowLeft" && selectionEnd === 0)
        || (event.key === "ArrowRight" && selectionStart === value.length);
      return isFree && !event.shiftKey && turned(event, turn);
    }

    function add(text) {
      if (SEVERAL.test(text)) return run(text);
      const match = /^\s*(ne|nw|se|sw|n|e|s|w)\s*(?=[\d.])/i.exec(text);
      if (match) turn(POINTS[match[1].toLowerCase()]);
      if (!text.trim()) return;
      const typed = match ? text.slice(match[0].length) : text;
      const [ran, after] = [bearing, at];
      sent += 1;
      wish({ do: "wall_add", after, bearing, length: typed }, (complaint) => {
        sent -= 1;
        if (!complaint) return;
        if (!length.input.value) length.input.value = text;
        length.answer(complaint);
        at = after;
        turn(ran);
      });
      // Ready for the next wall at once: who reads off a laser does not wait.
      length.input.value = "";
      length.answer("");
      at = -1;
      turn((ran + 90) % 360);
    }

    /** Several walls, or the two sides of a rectangle: all of it is taken, or nothing. */
    function run(text) {
      sent += 1;
      wish({ do: "walls", after: at, bearing, text }, (complaint) => {
        sent -= 1;
        if (complaint) length.input.value = text;
        length.answer(complaint);
        if (!complaint) aim();
      });
      length.input.value = "";
      at = -1;
    }

    function draw() {
      box.hidden = Boolean(room && at < 0 && (!room.open || room.gap?.is_fault));
      say(number, String(place() + 1));
      if (at > (room?.walls.length ?? 0)) at = -1;
    }

    function after(walls) {
      at = walls;
      turn((room.walls[walls - 1].bearing + 90) % 360);
      draw();
      length.input.focus();
    }

    /** The first wall runs east, and each next one turns right. */
    function aim() {
      if (sent) return;
      const last = room?.walls.at(-1);
      turn(last ? (last.bearing + 90) % 360 : 90);
    }

    function empty() {
      at = -1;
      length.input.value = "";
      length.answer("");
    }

    turn(90);
    return { el: box, input: length.input, draw, after, turn, aim, empty };
  }

  let was = "";
  let ended = "";
  function draw(measure) {
    room = roomOf(measure, hand.now) ?? null;
    rooms = measure.rooms;
    if (was !== (room?.name ?? "")) {
      if (turning >= 0) open(turning);
      was = room?.name ?? "";
      // A room that was only begun or named while its first wall is typed is no other room.
      if (document.activeElement !== next.input) next.empty();
    }
    const end = `${was} ${room?.walls.length} ${room?.walls.at(-1)?.bearing}`;
    if (ended !== end) {
      ended = end;
      next.aim();
    }
    hint.hidden = Boolean(room?.walls.length);
    el.classList.toggle("short-way", !hint.hidden);
    drawWalls(room ? room.walls : []);
    next.draw();
  }

  /** Go to a wall's field, as a tap on the board asks for. */
  function show(wall) {
    const item = list.children[wall];
    for (const [i, one] of [...list.children].entries()) one.classList.toggle("mine", i === wall);
    item?.scrollIntoView({ block: "nearest" });
    return item?.querySelector("input");
  }

  return { el, draw, show, input: next.input };
}

/** Whether the outline closes, and if not what would mend it. */
export function closingCheck({ ask, hand, onagain }) {
  const words = h("p");
  const more = h("p", { class: "soft" });
  const buttons = h("div", { class: "repairs" });
  const glyph = h("span");
  const el = h("div", { class: "closing", role: "status" }, glyph, h("div", { class: "stack tight" }, words, more, buttons));
  const wish = (asked) => ask({ room: hand.now.room, ...asked });
  let drawn = "";

  function draw(measure) {
    const room = roomOf(measure, hand.now);
    const now = JSON.stringify([room?.name, room?.gap, room?.open, room?.area, room?.around]);
    if (now === drawn) return;
    drawn = now;
    el.hidden = !room || (room.open && !room.gap);
    if (el.hidden) return;
    const gap = room.open ? room.gap : null;
    el.classList.toggle("fault", Boolean(gap?.is_fault));
    el.classList.toggle("going", Boolean(gap));
    glyph.replaceChildren(icon(gap ? (gap.is_fault ? "warn" : "parted") : "check"));
    words.replaceChildren(h("b", {}, gap ? gap.says : `${room.name} closes.`), " ",
      gap ? gap.where : `${room.area}, ${room.around} all around.`);
    say(more, gap?.closing && !gap.is_fault ? `Closing it adds ${gap.closing}.` : "");
    buttons.replaceChildren(...(gap ? actions(gap, room) : []));
    if (gap?.is_fault) queueMicrotask(() => el.scrollIntoView({ block: "nearest" }));
  }

  function actions(gap, room) {
    const repairs = gap.is_fault ? gap.repairs : [];
    const close = gap.closing && !gap.is_fault
      ? [h("button", { type: "button", class: "main", onclick: () => wish({ do: "close" }) }, "Close it")] : [];
    const again = gap.is_fault
      ? [h("button", { type: "button", class: "quiet", onclick: () => onagain(repairs[0]?.walls[0] ?? room.walls.length - 1) }, "Measure again")] : [];
    const mends = repairs.slice(0, 2).map((repair, i) =>
      h("button", { type: "button", class: i ? "quiet" : "main", onclick: () => wish({ do: "repair", repair: i }) }, repair.says));
    return [...close, ...mends.slice(0, 1), ...again, ...mends.slice(1)];
  }

  return { el, draw };
}
