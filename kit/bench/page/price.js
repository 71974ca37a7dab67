import { h, icon, put, say } from "./dom.js";

const TOLD_CENTS = 100; // what an extra costs otherwise by less is not told
const SHARED = "extras share days and material";

/** First words of a sentence, up to where it begins to explain. */
function brief(words) {
  const [first] = words.split(/[:,]/);
  return first[0].toLowerCase() + first.slice(1);
}

/** Column heads of a part of the ledger; every row says them in its name. */
function heads(what, id, ...columns) {
  return h("div", { class: "ledger-head" }, h("h3", { id }, what),
    ...["", ...columns].map((words, i) =>
      h("span", { "aria-hidden": "true", class: i ? null : "each" }, words)));
}

/** One line of the ledger: a mark, what it is, and three figures. */
function line(role, mark, onclick) {
  const el = h("button", { type: "button", role, class: "entry", onclick },
    h("i", { class: mark, "aria-hidden": "true" }, mark === "box" ? icon("check") : null),
    h("span", { class: "what" }), h("span"), h("span"), h("span", { class: "soft" }));
  const [, what, perSqft, whole, apart] = el.children;
  const name = document.createTextNode("");
  const words = h("span", { class: "soft" });
  what.append(name, words);

  function draw({ is, label, says, figures }) {
    put(el, { "aria-checked": String(is), "aria-label": label.spoken });
    if (name.data !== `${label.name} `) name.data = `${label.name} `;
    say(words, says);
    [perSqft, whole, apart].forEach((cell, i) => say(cell, figures[i]));
  }
  return { el, draw };
}

/** Rows of one part, made anew only when their number changes. */
function part(body, make, drawRow) {
  let rows = [];
  return (entries) => {
    if (rows.length !== entries.length) {
      rows = entries.map((_, i) => make(i));
      body.replaceChildren(...rows.map((row) => row.el));
    }
    entries.forEach((entry, i) => drawRow(rows[i], entry));
  };
}

/** The ledger: every finish with its sum, every extra with what it adds. */
export function pricePanel({ ask }) {
  const rule = h("span", { class: "soft" });
  const finishes = h("div", { class: "ledger", role: "radiogroup", "aria-labelledby": "pt-finishes" });
  const extras = h("div", { class: "ledger", role: "group", "aria-labelledby": "pt-extras" });
  const extrasSay = `Each as all else stands: ${SHARED}, so taking one can change `
    + "what another adds. The picture shows the floor without them.";
  const extrasNote = h("p", { class: "soft" });
  const taking = h("div", { class: "stack" }, heads("Extras, take any", "pt-extras", "each adds", ""), extras, extrasNote);
  const paid = h("h3", { class: "apart" }, "When it is paid");
  const payments = h("dl", { class: "payments" });
  const note = h("p", { class: "soft" });
  const slip = h("p");
  const advice = h("div", { class: "stack tight" });
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Price"), rule),
    heads("Finish, choose one", "pt-finishes", "whole floor", "against yours"), finishes,
    taking, advice,
    paid, payments, note,
    h("div", { class: "caution" }, icon("warn"), slip));
  let now = null;
  let was = {}; // what a finish or an extra made of the price before the last switch, where that changed it

  const drawFinishes = part(finishes,
    (i) => line("radio", "tick", () => ask({ do: "finish", finish: now.options[i].key })),
    (row, finish) => row.draw({
      is: finish.chosen,
      label: { name: finish.name,
        spoken: !finish.total ? `${finish.name}, ${now.price.total}`
          : `${finish.name}, ${finish.per_sqft} ${now.units.per_area}, ${finish.total} whole floor, `
          + (finish.chosen ? "in the price" : `difference ${finish.difference}`) },
      says: [brief(finish.says), finish.why, was[finish.key] && `was ${was[finish.key]}: ${SHARED}`].filter(Boolean).join(", "),
      figures: [finish.per_sqft, finish.total, finish.chosen ? "in the price" : finish.difference],
    }));

  const drawExtras = part(extras,
    (i) => line("switch", "box", () => {
      if (!now.extras[i].blocked) ask({ do: "extra", extra: now.extras[i].key });
    }),
    (row, extra) => {
      const much = extra.much ? `, ${extra.much}` : "";
      const state = extra.blocked || (extra.counts ? `${extra.adds} in the price` : extra.difference);
      row.draw({
        is: extra.counts,
        label: { name: extra.name, spoken: `${extra.name}${much}, ${state}${was[extra.key] ? `, was ${was[extra.key]}` : ""}` },
        says: extra.blocked || (was[extra.key] ? `was ${was[extra.key]}: ${SHARED}` : [extra.much, extra.along].filter(Boolean).join(" ") || brief(extra.says)),
        figures: [extra.per_sqft, extra.difference, extra.counts ? "in the price" : ""],
      });
      put(row.el, { title: extra.says, "aria-disabled": extra.blocked ? "true" : null });
    });

  /** Note which extras cost another price since others were switched, all else being as it was. */
  function compare(before, after) {
    const taken = ({ extras }) => extras.filter((one) => one.counts).map((one) => one.key).join();
    if (!before || taken(before) === taken(after)) {
      if (before && before.price.total !== after.price.total) was = {};
      return;
    }
    const all = ({ options, extras }) => [...options, ...extras].filter((one) => one.difference);
    const old = Object.fromEntries(all(before).map((one) => [one.key, one]));
    was = Object.fromEntries(all(after)
      .filter((one) => old[one.key] && old[one.key].counts === one.counts
        && Math.abs(old[one.key].cents - one.cents) >= TOLD_CENTS)
      .map((one) => [one.key, old[one.key].difference]));
  }

  function draw(figures) {
    compare(now, figures);
    now = figures;
    say(rule, now.price.plain ? `${now.price.area} of poured floor` : now.price.total);
    put(rule, { title: now.price.rule });
    for (const each of el.querySelectorAll(".each")) say(each, now.units.per_area);
    drawFinishes(now.options);
    drawExtras(now.extras);
    say(extrasNote, `${extrasSay} ${now.on_paper}`);
    taking.hidden = now.extras.length === 0;
    if (advice.dataset.says !== now.advice.join()) {
      advice.dataset.says = now.advice.join();
      advice.replaceChildren(...now.advice.map((words) =>
        h("div", { class: "caution" }, icon("warn"), h("p", {}, words))));
    }
    advice.hidden = now.advice.length === 0;
    paid.hidden = now.payments.length === 0;
    payments.replaceChildren(...now.payments.map((p) =>
      h("div", {}, h("dt", {}, p.due), h("dd", {}, p.amount))));
    say(note, `${now.price.rule} ${now.price.tax}`);
    say(slip, now.slip);
  }

  function begin() {
    now = null;
    was = {};
  }

  return { el, draw, begin, name: "Price" };
}
