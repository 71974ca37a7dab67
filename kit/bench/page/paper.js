import { choice, h, icon, put, say } from "./dom.js";
import { paperField } from "./paper_field.js";
import { showsPart } from "./paper_shows.js";
import { signPart } from "./sign.js";

const CLIENT = [
  { field: "client, name", label: "Who the floor is for" },
  { field: "client, person", label: "Person who decides" },
  { field: "client, address", label: "Address of the floor", wide: true },
  { field: "client, email", label: "E-mail", mode: "email" },
  { field: "client, phone", label: "Phone", mode: "tel" },
  { field: "job, title", label: "What is poured", wide: true },
];
const OFFER = [
  { field: "job, number", label: "Number" },
  { field: "job, date", label: "Date", kind: "date" },
  { field: "job, valid_days", label: "Days open", mode: "numeric" },
];
const FIRM = [
  { field: "firm, name", label: "Name of your firm" },
  { field: "firm, person", label: "Person who signs" },
  { field: "firm, address", label: "Address", wide: true },
  { field: "firm, phone", label: "Phone", mode: "tel" },
  { field: "firm, email", label: "E-mail", mode: "email" },
  { field: "firm, licence", label: "License", wide: true },
];
const NAMES = [["client", "Client"], ["firm", "Firm"], ["shows", "Shows"], ["sign", "Sign"]];

/** Who, from whom, until when, what is shown; the signature; and the PDF. */
export function paperPanel({ ask }) {
  const make = (one) => paperField({ ask, ...one });
  const client = CLIENT.map(make);
  const offer = OFFER.map(make);
  const firm = FIRM.map(make);
  const every = [...client, ...offer, ...firm];
  const until = h("p", { class: "soft" });
  const parts = {
    client: h("div", { class: "stack" }, fields(client), h("div", { class: "fields three" },
      offer.map((one) => one.el)), until),
    firm: fields(firm),
  };
  const shows = showsPart({ ask });
  const sign = signPart({ ask });
  Object.assign(parts, { shows: shows.el, sign: sign.el });
  const tabs = choice("Part of the paper", NAMES, go);
  const slot = h("div", { class: "part-slot" });
  const lacks = h("div", { class: "missing", hidden: true }, icon("warn"), h("span"),
    h("button", { type: "button", onclick: fillIn }, "Fill it in"));
  const state = h("p", { class: "soft state", role: "status" });
  const save = h("button", { type: "button", class: "main", onclick: () => start() },
    icon("save"), h("span", {}, "Save the PDF"));
  const el = h("div", { class: "stack paper" },
    h("div", { class: "title" }, h("h2", {}, "Paper"), save), lacks, state, tabs.el, slot);
  let figures = null;
  let isSetting = false;
  let part = "";

  function fields(list) {
    return h("div", { class: "fields" }, list.map((one) => one.el));
  }

  function go(name) {
    part = name;
    tabs.draw(name);
    slot.replaceChildren(parts[name]);
  }

  function fillIn() {
    const { field } = figures.paper.lacks[0];
    go(field.startsWith("firm") ? "firm" : "client");
    every.find((one) => one.field === field)?.focus();
  }

  function busy(is) {
    isSetting = is;
    put(save, { "aria-busy": String(is) });
    say(save.querySelector("span"), is ? "Setting the pages…" : "Save the PDF");
    able();
  }

  function able() {
    const missing = figures?.paper.lacks ?? [];
    save.disabled = isSetting || missing.length > 0;
    lacks.hidden = !missing.length;
    if (!missing.length) return;
    say(lacks.querySelector("span"), `Before it can go out: ${missing[0].says}`);
    lacks.querySelector("button").hidden = !missing[0].field;
  }

  function start() {
    busy(true);
    say(state, "The pictures are drawn for print first; this can take a moment.");
    ask({ do: "paper" });
  }

  function received({ paper }, buffers) {
    busy(false);
    if (!buffers?.length) {
      say(state, paper.says);
      return;
    }
    const url = URL.createObjectURL(new Blob([buffers[0]], { type: "application/pdf" }));
    h("a", { href: url, download: paper.name }).click();
    setTimeout(() => URL.revokeObjectURL(url), 60_000);
    say(state, `${paper.name} is in your downloads.`);
  }

  function draw(given) {
    figures = given;
    const { paper } = figures;
    for (const one of every) one.draw(paper.fields[one.field]);
    say(until, paper.until);
    shows.draw(figures);
    sign.draw(figures);
    if (!part) go(paper.lacks.length || paper.advice.length ? "client" : "sign");
    able();
  }

  return { el, draw, received, name: "Paper" };
}
