import { h, say } from "./dom.js";

/** What is poured: every room as it was measured. */
export function roomsPanel() {
  const rows = h("tbody");
  const total = h("td");
  const around = h("td");
  const rule = h("p", { class: "soft" });
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Rooms"), h("span", { class: "soft" }, "as measured")),
    h("table", { class: "table" },
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "Room"),
        h("th", { scope: "col" }, "Floor, sq ft"), h("th", { scope: "col" }, "Walls, ft"))),
      rows,
      h("tfoot", {}, h("tr", {}, h("th", { scope: "row" }, "Poured in all"), total, around))),
    rule);

  function draw({ rooms, poured, price }) {
    rows.replaceChildren(...rooms.map((room) => h("tr", {},
      h("th", { scope: "row" }, room.name), h("td", {}, room.area), h("td", {}, room.walls))));
    say(total, poured.area);
    say(around, poured.walls);
    say(rule, `${price.rule} Each figure is rounded by itself.`);
  }

  return { el, draw, name: "Rooms" };
}
