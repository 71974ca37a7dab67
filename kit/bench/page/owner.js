import { h, icon, put, say } from "./dom.js";

const BEHIND = {
  owner: ["Owner's side", "What this floor costs you, and your margin."],
  jobs: ["Jobs", "The list names other clients and their prices."],
};

const LEAST = 8; // characters of a passphrase that is chosen
const FIRST = "No passphrase was chosen yet; the one that you choose now opens it from here on. "
  + "Write it down: it cannot be recovered.";

/** Ask for the owner's passphrase; the first one, typed twice, is the one from then on. */
export function ownerDoor({ ask }) {
  const title = h("h2", {}, "Owner's side");
  let behind = "owner";
  const words = h("p", { class: "soft" });
  const says = h("p", { class: "says", role: "alert" });
  const field = h("input", { type: "password", id: "pt-passphrase", autocomplete: "off",
    spellcheck: "false", maxlength: 200 });
  const again = h("input", { type: "password", id: "pt-passphrase-again", autocomplete: "off", spellcheck: "false", maxlength: 200 });
  const twice = h("div", { class: "stack tight" }, h("label", { for: "pt-passphrase-again" }, "The same once more"), again);
  const open = h("button", { type: "submit", class: "main" }, "Open");
  const form = h("form", { method: "dialog", novalidate: true, onsubmit: send },
    title, words,
    h("label", { for: "pt-passphrase" }, "Passphrase"), field, twice, says,
    h("div", { class: "pair" },
      h("button", { type: "button", class: "quiet", onclick: () => shut() }, "Back to the floor"), open));
  const el = h("dialog", { class: "door", "aria-label": "Owner's side", onclose: () => empty() }, form);
  let isLocked = true;

  function empty() {
    field.value = again.value = "";
    say(says, "");
  }

  function send(event) {
    event.preventDefault();
    const given = { passphrase: field.value, again: again.value };
    if (given.passphrase.length < (isLocked ? 1 : LEAST)) {
      field.focus();
      return say(says, given.passphrase ? `That has ${given.passphrase.length} characters; give at least ${LEAST}.` : "Type the passphrase first.");
    }
    if (!isLocked && given.again !== given.passphrase) {
      again.value = "";
      again.focus();
      return say(says, "The two are not the same. Type it once more.");
    }
    empty();
    ask({ do: behind, ...given });
    field.focus();
  }

  function shut() {
    if (el.open) el.close();
  }

  /** Ask for what lies behind: "owner", the figures of this floor, or "jobs", the list. */
  function knock(what = "owner") {
    behind = what;
    const [name, tells] = BEHIND[what];
    say(title, name);
    put(el, { "aria-label": name });
    say(words, isLocked
      ? `${tells} Turn the screen away first.`
      : `${tells} ${FIRST}`);
    twice.hidden = isLocked;
    el.showModal();
    field.focus();
  }

  return { el, knock, shut, refuse: (complaint) => say(says, complaint),
    draw: (figures) => { isLocked = figures.head.is_locked; } };
}

/** Cost, margin and hours; drawn from a message and gone with it. */
export function ownerPanel({ ask }) {
  const off = h("input", { type: "number", id: "pt-off", min: 0, max: 50, step: 0.5, inputmode: "decimal",
    onchange: () => ask({ do: "owner_off", percent: Number(off.value) }, "owner_off") });
  const leaves = h("p", { class: "leaves", role: "status" });
  const lines = h("tbody");
  const cost = h("td");
  const tasks = h("tbody");
  const hours = h("td");
  const extras = h("tbody");
  const watch = h("ul", { class: "checks" });
  const table = (caption, head, rows, foot = null) => h("table", { class: "table" },
    h("caption", { class: "aloud" }, caption),
    h("thead", {}, h("tr", {}, head.map((word) => h("th", { scope: "col" }, word)))), rows,
    foot && h("tfoot", {}, h("tr", {}, foot)));
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Cost and margin"),
      h("button", { type: "button", class: "main", onclick: () => ask({ do: "owner_shut" }) },
        "Close owner's side")),
    h("div", { class: "off" }, h("label", { for: "pt-off" }, "Discount, %"), off, leaves),
    table("From direct cost to the price", ["Line", "How", "Amount"], lines,
      [h("th", { scope: "row", colspan: 2 }, "Cost, without margin"), cost]),
    table("Hours of work", ["Task", "How", "Hours"], tasks,
      [h("th", { scope: "row", colspan: 2 }, "Person-hours, setting up included"), hours]),
    table("Extras, each with all else as it is", ["Extra", "Taken", "Price", "Cost", "Margin", "Days"], extras),
    watch);

  const row = (name, how, figure, kind = "") => h("tr", { class: kind },
    h("th", { scope: "row" }, name), h("td", { class: "soft" }, how), h("td", {}, figure));

  function draw(side) {
    if (side.lacks) return unpriced(side.lacks);
    const { discount } = side;
    off.disabled = false;
    if (document.activeElement !== off) off.value = discount.percent;
    say(leaves, discount.percent
      ? `${discount.off} off: the price is ${discount.asked}, your margin ${discount.left}, ${discount.share} of it. Least to ask: ${discount.floor}.`
      : `Margin ${discount.left}: ${discount.share} of the price, ${discount.markup} of the cost. Least to ask: ${discount.floor}.`);
    leaves.classList.toggle("loses", discount.loses);
    lines.replaceChildren(...side.lines.map((l) => row(l.label, l.how, l.amount, l.kind)));
    say(cost, side.cost);
    tasks.replaceChildren(...side.tasks.map((t) => row(t.name, t.how, t.hours)));
    extras.replaceChildren(...side.extras.map((e) => h("tr", {}, h("th", { scope: "row" }, e.name),
      h("td", { class: "soft" }, e.how),
      [e.asks, e.cost, e.leaves, e.days].map((figure) => h("td", {}, figure)))));
    say(hours, `${side.hours} h in ${side.days} ${side.days === 1 ? "day" : "days"}`);
    watch.replaceChildren(...side.concerns.map((c) => h("li", { class: "watch" }, icon("warn"),
      h("span", {}, c.says, " ", h("span", { class: "soft" }, c.fix)))));
  }

  function unpriced(lacks) {
    forget();
    off.disabled = true;
    say(leaves, `No price yet. ${lacks}`);
  }

  function forget() {
    for (const part of [lines, tasks, extras, watch]) part.replaceChildren();
    for (const part of [cost, hours, leaves]) say(part, "");
    off.value = "";
  }

  return { el, draw, forget, name: "Owner's side" };
}
