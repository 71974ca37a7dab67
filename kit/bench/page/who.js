import { h } from "./dom.js";
import { field, following } from "./fields.js";
import { homeSale } from "./notice.js";
import { placeOfSale } from "./paper_shows.js";
import { CLIENT_NAMES, FIRM_NAMES, TITLE_NAME } from "./party_names.js";

const SLAB = [["painted", "Old paint or coating on it"], ["old_flooring", "Tiles, sheet flooring or adhesive on it"],
  ["below_grade", "Below ground level"]];

/** Who the floor is for and where, what it is laid on, and who pours it. */
export function whoForm({ ask }) {
  const wish = (asked, answer) => ask(asked, "", answer);
  const fields = {};
  const onward = (input) => following(el, input);
  const part = (does, names) => Object.entries(names).map(([key, label]) => {
    fields[`${does}.${key}`] = field({ label, onward, required: key === "name", "data-heads": does === "client" && key === "name" ? "client" : null, onset: (text, answer) => wish({ do: does, field: key, text }, answer) });
    return fields[`${does}.${key}`].el;
  });
  const one = (does, label, given = {}) => {
    fields[does] = field({ label, onward, ...given, onset: (text, answer) => wish({ do: does, text }, answer) });
    return fields[does].el;
  };
  const checks = {};
  const slab = SLAB.map(([key, label]) => {
    checks[key] = h("input", { type: "checkbox", onchange: () =>
      wish({ do: "slab", field: key, text: checks[key].checked ? "yes" : "no" }) });
    return h("label", { class: "check" }, checks[key], label);
  });
  const where = placeOfSale(ask);
  const home = homeSale({ ask, onfill: (field) => fields[field.replace(", ", ".")].input.focus() });
  const el = h("div", { class: "stack who" },
    h("h3", {}, "The client"), ...part("client", CLIENT_NAMES), one("title", TITLE_NAME, { required: true, "data-heads": "title" }),
    h("h3", {}, "Where it is signed"), where.el, home.el,
    h("h3", {}, "Your firm"), ...part("firm", FIRM_NAMES),
    h("h3", {}, "The slab"), ...slab,
    h("div", { class: "pair" }, one("year_built", "Year built, if known", { inputmode: "numeric" }), one("cracks", "Cracks to fill, length")),
    one("slab_notes", "Notes", { kind: "textarea", rows: 2, maxlength: 2000 }));

  function draw({ who, paper }) {
    where.draw(paper.sale.at);
    home.draw(paper);
    for (const [key, value] of Object.entries(who.client)) fields[`client.${key}`].draw(value);
    for (const [key, value] of Object.entries(who.firm)) fields[`firm.${key}`].draw(value);
    fields.title.draw(who.title);
    fields.year_built.draw(who.year_built);
    fields.cracks.draw(who.cracks);
    fields.slab_notes.draw(who.notes);
    for (const [key, is] of Object.entries(who.slab)) checks[key].checked = is;
  }

  return { el, draw };
}
