import { h, say } from "./dom.js";
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
  const onward = (input) => {
    const isNeeded = needed.contains(input);
    const next = following(isNeeded ? needed : el, input);
    return next || !isNeeded ? next : lacking();
  };
  const of = (does, key, names, given = {}) => {
    const one = field({ label: names[key], onward, ...given,
      onset: (text, answer) => wish({ do: does, field: key, text }, answer) });
    fields[`${does}.${key}`] = one;
    return one.el;
  };
  const client = (key, given) => of("client", key, CLIENT_NAMES, given);
  const firm = (key, given) => of("firm", key, FIRM_NAMES, given);
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
  const home = homeSale({ ask, stays: true, onfill: (field) => fields[field.replace(", ", ".")].input.focus() });
  /** What the paper needs and has not yet: a name, else what signing at home waits for. */
  const lacking = () => [fields["client.name"].input, fields["firm.name"].input].find((one) => !one.value.trim())
    ?? home.waiting();
  const without = h("p", { class: "soft without", hidden: true });
  const pair = (...two) => h("div", { class: "pair" }, two);
  const part = (name, ...of) => h("div", { class: "stack", role: "group", "aria-label": name }, h("h4", {}, name), of);
  const needed = h("div", { class: "stack" },
    h("h3", {}, "What the paper needs"),
    pair(client("name", { required: true, "data-heads": "client" }), firm("name", { required: true })),
    client("address"),
    h("div", { class: "field" }, h("p", { class: "called" }, "Where it is signed"), where.el), home.el);
  const el = h("div", { class: "stack who" }, needed,
    h("h3", {}, "If you have it at hand"), without,
    part("The client", one("title", TITLE_NAME, { required: true, "data-heads": "title" }),
      client("person"), pair(client("phone"), client("email"))),
    part("Your firm", pair(firm("person"), firm("licence")), firm("address"), pair(firm("phone"), firm("email"))),
    part("The slab", ...slab,
      pair(one("year_built", "Year built", { inputmode: "numeric" }), one("cracks", "Cracks to fill, length")),
      one("slab_notes", "Notes", { kind: "textarea", rows: 2, maxlength: 2000 })));

  function draw({ who, paper }) {
    where.draw(paper.sale.at);
    home.draw(paper);
    const words = paper.advice.map((one) => one.says).join(" ");
    if (words) without.hidden = false; // its place stays, so that nothing moves while it is filled in
    say(without, words);
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
