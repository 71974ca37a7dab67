import { h, say } from "./dom.js";
import { field, glyphButton, kept } from "./fields.js";
import { roomOf } from "./hand.js";

const READS = {
  us: "10 alone is 10 feet; for inches type 10\" or 10 in.",
  metric: "0.3 alone is 0.3 m; for centimeters type 30 cm.",
};

/** Columns, and what else the floor is poured around, in the room in hand. */
export function columnList({ ask, hand }) {
  const list = h("ul", { class: "cards" });
  const words = h("p", { class: "soft" });
  const add = h("button", { type: "button", class: "quiet",
    onclick: () => ask({ do: "column_in", room: hand.now.room }) }, "Put one in the middle");
  const why = h("p", { class: "soft" }, "The edge around a column is worked by hand, so it can raise the price though it takes floor away.");
  const reads = h("p", { class: "soft" });
  const el = h("div", { class: "stack" }, words, reads, list, why, add);
  const drawList = kept(list, card);
  const wish = (asked, answer) => ask({ room: hand.now.room, ...asked }, "", answer);

  function card(i) {
    const title = h("b");
    const values = {};
    const set = (name, kind) => (text, answer) => {
      const all = { ...values, [name]: text };
      wish(kind === "size" ? { do: "column_size", column: i, across: all.across, deep: all.deep }
        : { do: "column_place", column: i, east: all.east, north: all.north }, answer);
    };
    const across = field({ label: "Across", onset: set("across", "size") });
    const deep = field({ label: "Deep", placeholder: "round", onset: set("deep", "size") });
    const east = field({ label: "From the west wall", onset: set("east", "place") });
    const north = field({ label: "From the south wall", onset: set("north", "place") });
    const remove = glyphButton("close", `Take column ${i + 1} out`, () => wish({ do: "column_remove", column: i }));
    const draw = (column) => {
      Object.assign(values, { across: column.sizes[0], deep: column.sizes[1] ?? "", east: column.east, north: column.north });
      say(title, `${column.round ? "Round" : "Square"} column ${i + 1}`);
      across.draw(values.across);
      deep.draw(values.deep);
      east.called(`From the ${column.from[0]}`);
      north.called(`From the ${column.from[1]}`);
      east.draw(values.east);
      north.draw(values.north);
    };
    const item = h("li", { class: "card" }, h("div", { class: "title small" }, title, remove),
      h("div", { class: "pair" }, across.el, deep.el, east.el, north.el));
    return { el: item, draw };
  }

  function draw(measure, { metric }) {
    const room = roomOf(measure, hand.now);
    add.hidden = !room?.walls.length;
    say(words, room?.walls.length ? `Tap where a column stands, or put one in the middle of ${room.name}. A hearth or an island is a square one.`
      : "Columns stand in a room that has walls.");
    const columns = room?.walls.length ? room.columns : [];
    reads.hidden = why.hidden = !columns.length;
    say(reads, READS[metric ? "metric" : "us"]);
    drawList(columns);
  }

  return { el, draw };
}
