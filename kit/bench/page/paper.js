import { choice, h, hasKeys, icon, put, say } from "./dom.js";
import { CLIENT_NAMES, FIRM_NAMES, TITLE_NAME } from "./party_names.js";
import { following } from "./fields.js";
import { homeSale } from "./notice.js";
import { paperField } from "./paper_field.js";
import { lookPart } from "./paper_look.js";
import { showsPart } from "./paper_shows.js";
import { signPart } from "./sign.js";

const CLIENT = [
  { field: "client, name", label: CLIENT_NAMES.name, required: true, heads: "client" },
  { field: "client, person", label: CLIENT_NAMES.person },
  { field: "client, address", label: CLIENT_NAMES.address, wide: true },
  { field: "client, email", label: CLIENT_NAMES.email, mode: "email" },
  { field: "client, phone", label: CLIENT_NAMES.phone, mode: "tel" },
  { field: "job, title", label: TITLE_NAME, wide: true, required: true, heads: "title" },
];
const OFFER = [
  { field: "job, number", label: "Number" },
  { field: "job, date", label: "Date", kind: "date" },
  { field: "job, valid_days", label: "Days open", mode: "numeric" },
];
const FIRM_NAME = "firm, name";
const FIRM = [
  { field: FIRM_NAME, label: FIRM_NAMES.name, wide: true, required: true },
  { field: "firm, person", label: FIRM_NAMES.person },
  { field: "firm, phone", label: FIRM_NAMES.phone, mode: "tel" },
  { field: "firm, address", label: FIRM_NAMES.address, wide: true },
  { field: "firm, email", label: FIRM_NAMES.email, mode: "email", wide: true },
  { field: "firm, licence", label: FIRM_NAMES.licence, wide: true },
];
const DOWN = "It is in your downloads.";
const SAVED = "PDF saved"; // as its step says until anything changes
const partOf = (field) => (field.startsWith("firm") ? "firm" : "client");
const NAMES = [["client", "Client"], ["firm", "Firm"], ["shows", "Contents"], ["look", "Look"], ["sign", "Sign"]];

/** Who, from whom, until when, what is shown; the signature; and the PDF. */
export function paperPanel({ ask }) {
  const make = (one) => paperField({ ask, onward, ...one });
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
  const look = lookPart({ ask });
  const own = (kind) => { go("look"); look.focus(kind); };
  const sign = signPart({ ask });
  Object.assign(parts, { shows: shows.el, look: look.el, sign: sign.el });
  const tabs = choice("Part of the paper", NAMES, (name) => { isPicked = true; go(name); });
  const signTab = tabs.el.lastElementChild;
  const home = homeSale({ ask, onfill: fill });
  const slot = h("div", { class: "part-slot" });
  const repair = h("button", { type: "button", onclick: () => mend() });
  const mark = h("i");
  const lacks = h("div", { class: "missing" }, mark, h("span"), repair);
  const state = h("p", { class: "soft state", role: "status" });
  const save = h("button", { type: "button", class: "quiet", onclick: () => start() },
    icon("save"), h("span", {}, "Save the PDF"));
  const el = h("div", { class: "stack paper" },
    h("div", { class: "title" }, h("h2", {}, "Paper"), state, save), tabs.el, lacks, home.el, slot);
  let figures = null;
  let isSetting = false;
  let part = "";
  let isHanded = false; // the pages that were saved are those of the job as it stands
  let isPicked = false; // by hand: it is not left for another by itself
  let mend = () => {};

  function fields(list) {
    return h("div", { class: "fields" }, list.map((one) => one.el));
  }

  function go(name) {
    if (part !== name) el.parentElement?.scrollTo(0, 0);
    part = name;
    lend();
    tabs.draw(name);
    home.place(name === "sign");
    slot.replaceChildren(parts[name]);
    able();
  }

  /** The name of the firm is asked beside the client's as long as nobody gave it. */
  function lend() {
    const isAsked = part === "client" && figures?.paper.lacks.some((one) => one.field === FIRM_NAME);
    const [whom, decides] = client;
    const [name] = firm;
    if (isAsked) whom.el.after(name.el);
    else if (part === "firm" || part === "client") parts.firm.prepend(name.el);
    const isLent = name.el.parentElement !== parts.firm;
    decides.el.classList.toggle("wide", isLent);
    name.el.classList.toggle("wide", !isLent);
  }

  /** What Enter goes to: the next field here, after the last one what the paper waits for. */
  function onward(field, input) {
    const waits = figures.paper.lacks.find((one) => one.field && one.field !== field);
    const next = following(parts[part], input);
    if (next || !waits) return next;
    if (!parts[part].contains(every.find((one) => one.field === waits.field).el)) go(partOf(waits.field));
    return every.find((one) => one.field === waits.field).el.querySelector("input");
  }

  function fill(field) {
    const one = every.find((each) => each.field === field);
    if (!parts[part].contains(one.el)) go(partOf(field));
    one.focus();
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
    if (!figures) return;
    wait(missing, figures.paper.besides);
    lead(figures.paper);
  }

  /** One button is loud: of what is missing, then of signing, and of the PDF once nobody signs here any more. */
  function lead({ lacks: missing, signed, sale }) {
    const isDone = Boolean(signed) || sale.at === "remote";
    const next = missing.length ? repair : isDone ? save
      : home.waiting() ?? (part === "sign" ? sign.accept : repair);
    for (const one of [repair, save, sign.accept, ...home.mends]) one.classList.toggle("main", one === next);
    sign.lead(next === sign.accept);
  }

  /** What the paper waits for, else what it does without, else that nothing is missing. */
  function wait(missing, besides) {
    const offer = missing.length ? missing.find((one) => one.offers?.length) : besides[0];
    const field = missing.find((one) => one.field)?.field;
    const kind = missing.find((one) => one.own)?.own;
    const isReady = !missing.length && !besides.length;
    const isToMend = figures.paper.sale.lacks.length > 0; // which stands below by itself
    lacks.hidden = isReady && (part === "sign" || Boolean(figures.paper.signed) || isToMend);
    lacks.classList.toggle("ready", isReady);
    mark.replaceChildren(icon(isReady ? "check" : "warn"));
    say(lacks.querySelector("span"), missing.length ? figures.paper.missing
      : isReady ? "Nothing is missing." : besides[0].says);
    repair.hidden = !(offer || field || kind || isReady);
    say(repair, offer ? offer.offers[0][0] : field ? "Fill it in" : kind ? "Go to it" : "Sign it");
    mend = () => (offer ? ask(offer.offers[0][1]) : field ? fill(field) : kind ? own(kind) : go("sign"));
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
    say(state, DOWN);
    put(state, { title: paper.name });
  }

  function draw(given) {
    figures = given;
    const { paper } = figures;
    for (const one of every) {
      one.draw(paper.fields[one.field], paper.hints[one.field],
        one.field === "job, number" ? paper.caution : "");
    }
    signTab.replaceChildren("Sign", h("span", { class: "soft" }, paper.signed ? "signed" : "not yet"));
    say(until, paper.until);
    shows.draw(figures);
    look.draw(figures);
    home.draw(paper);
    sign.draw(figures);
    const isSaved = figures.stations.paper === SAVED;
    if (isHanded && !isSaved && state.textContent === DOWN) {
      say(state, "");
      put(state, { title: null });
    }
    isHanded = isSaved;
    if (!part) go("client");
    able();
  }

  /** Begin where the paper waits for something; else there is no more to do than to sign. */
  function enter() {
    const waits = figures.paper.lacks.find((one) => one.field);
    if (!isPicked) go(waits ? "client" : "sign");
    else if (part === "client") lend();
    if (waits && !isPicked && hasKeys()) setTimeout(() => every.find((one) => one.field === waits.field).focus());
    sign.pages({ stale: true }); // until it is told that they are those of the job as it stands
  }

  function begin() {
    isPicked = false;
  }

  return { el, draw, enter, begin, received, pages: sign.pages, name: "Paper" };
}
