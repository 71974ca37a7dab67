import { h, say } from "./dom.js";

/** What is poured: every room as it was measured. */
export function roomsPanel() {
  const rows = h("tbody");
  const total = h("td");
  const rule = h("p", { class: "soft" });
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Rooms"), h("span", { class: "soft" }, "as measured")),
    h("table", { class: "table" },
      h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "Room"),
        h("th", { scope: "col" }, "sq ft"), h("th", { scope: "col" }, "edge"))),
      rows,
      h("tfoot", {}, h("tr", {}, h("th", { scope: "row" }, "Poured in all"), total, h("td")))),
    rule);

  function draw({ rooms, price }) {
    rows.replaceChildren(...rooms.map((room) => h("tr", {},
      h("th", { scope: "row" }, room.name), h("td", {}, room.area), h("td", {}, room.edge))));
    say(total, price.area.replace(" sq ft", ""));
    say(rule, price.rule);
  }

  return { el, draw, name: "Rooms" };
}
