import { choice, h, icon, put, say } from "./dom.js";

const TYPES_ON_MS = 250;
const MOST_CHARACTERS = 8_000_000;
const STANDS = [["", "All"], ["talking", "Talking"], ["out", "Out"], ["signed", "Signed"], ["done", "Done"]];

/** The list of every job; drawn from a message and gone with it. */
export function jobsSide({ ask }) {
  const field = h("input", { type: "search", id: "pt-find", autocomplete: "off", spellcheck: "false", maxlength: 200,
    placeholder: "Find a name, title, number or finish", "aria-label": "Find a job", oninput: typed });
  const filter = choice("Where jobs stand", STANDS, (key) => { stands = key; find(); });
  const says = h("p", { class: "says", role: "alert" });
  const file = h("input", { type: "file", accept: ".json,application/json", class: "aloud", tabindex: "-1",
    "aria-label": "A job that was saved as a file", onchange: () => takeIn() });
  const more = h("p", { class: "soft" });
  const rows = h("tbody");
  const heads = ["Job", "Finish", "Whole floor", "State", "Last saved", ""];
  const el = h("section", { class: "jobs", "aria-label": "Jobs", hidden: true, onkeydown: (event) => {
    if (event.key === "Escape") ask({ do: "jobs_shut" });
  } },
    h("div", { class: "jobs-top" }, field, filter.el, h("div", { class: "grow" }), file,
      h("button", { type: "button", class: "quiet", onclick: () => file.click() }, "Open a job file"),
      h("button", { type: "button", class: "main", onclick: () => ask({ do: "jobs_new" }) }, icon("plus"), "New job"),
      h("button", { type: "button", class: "quiet", onclick: () => ask({ do: "jobs_shut" }) }, "Close")),
    says,
    h("div", { class: "jobs-list", tabindex: "0", role: "group", "aria-label": "Every job found" },
      h("table", { class: "table" },
        h("caption", { class: "aloud" }, "Jobs, the last kept first"),
        h("thead", {}, h("tr", {}, heads.map((word) =>
          h("th", { scope: "col" }, word || h("span", { class: "aloud" }, "What to do with it"))))), rows),
      more));
  let stands = "";
  let timer = 0;

  function find() {
    clearTimeout(timer);
    ask({ do: "jobs_find", words: field.value, stands }, "jobs_find");
  }

  function typed() {
    clearTimeout(timer);
    timer = setTimeout(find, TYPES_ON_MS);
  }

  async function takeIn() {
    const [given] = file.files;
    if (!given) return;
    if (given.size > MOST_CHARACTERS) say(says, `${given.name} is larger than any job can be.`);
    else ask({ do: "jobs_take_in", name: given.name, text: await given.text() });
    file.value = "";
  }

  function row(one) {
    const name = one.client + (one.title ? `, ${one.title}` : "");
    const does = (wish, words, said = words) => h("button", { type: "button", class: "quiet", "aria-label": `${said} ${name}`,
      onclick: () => ask({ do: wish, job: one.job }) }, words);
    const done = (one.can_be_done || one.is_done) && h("button", { type: "button", class: "quiet",
      "aria-label": `${one.is_done ? "Not done after all" : "Mark as done"}: ${name}`,
      onclick: () => ask({ do: "jobs_done", job: one.job, done: !one.is_done }) }, one.is_done ? "Not done" : "Done");
    return h("tr", { class: one.here ? "here" : null },
      h("th", { scope: "row" }, h("b", {}, one.client), h("span", { class: "soft" }, [one.title, one.number].filter(Boolean).join(" · "))),
      h("td", {}, one.finish), h("td", { class: "sum" }, one.total), h("td", {}, one.stands),
      h("td", { class: "soft" }, one.kept),
      h("td", { class: "does" }, h("div", {}, done || null,
        one.here ? h("span", { class: "soft" }, "on the table") : does("jobs_open", "Open"), does("jobs_copy", "Copy"))));
  }

  function draw(list) {
    el.hidden = false;
    stands = list.stands;
    if (document.activeElement !== field) field.value = list.words;
    filter.draw(stands);
    list.tally.forEach(([, name, count], place) => say(filter.el.children[place], `${name} ${count}`));
    say(says, list.complaint ?? "");
    rows.replaceChildren(...list.rows.map(row));
    say(more, list.more ? `${list.more} more; a word above narrows the list.`
      : list.rows.length ? "" : "No job is found by these words.");
  }

  function forget() {
    clearTimeout(timer);
    el.hidden = true;
    rows.replaceChildren();
    field.value = "";
    for (const part of [says, more]) say(part, "");
    STANDS.forEach(([, name], place) => say(filter.el.children[place], name));
  }

  return { el, draw, forget, enter: () => field.focus() };
}
