import { choice, h, put, say } from "./dom.js";

const capital = (words) => words[0].toUpperCase() + words.slice(1);

/** Two finishes on the same floor, either side of the edge; one of them is in the price. */
export function sheenPanel({ ask }) {
  const sides = choice("Which side a finish is laid on",
    [["left", "Left side"], ["right", "Right side"]],
    (key) => { side = key; draw(figures); });
  const list = h("div", { class: "options", role: "radiogroup", "aria-label": "Finish" });
  const slip = h("p", { class: "soft" });
  const next = h("p", { class: "soft" });
  const put_in = Object.fromEntries(["left", "right"].map((which) => [which,
    h("button", { type: "button", class: "main", onclick: () => putIn(shownOn(which)) })]));
  const basis = h("span", { class: "soft" });
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Sheen"), basis),
    sides.el, next, h("div", { class: "either" }, Object.values(put_in)), list, slip);
  const ahead = {}; // what was picked for a side and is not answered yet
  let side = "right";
  let figures = null;
  let buttons = [];
  let drawn = "";
  const inPrice = (one) => one.chosen || one.is_shown;

  /** Everything that can lie on a side: the finishes, then the kept designs. */
  const laid = () => [...figures.options, ...figures.designs];
  const laidOn = (which) => ahead[which] ?? figures.compared[which];
  const shownOn = (which) => laid().find((one) => one.key === laidOn(which));

  /** Lay a finish on the side in hand; all below speaks of it before Python has heard. */
  function lay(key) {
    const where = side;
    ahead[where] = key;
    draw(figures);
    ask({ do: "lay", side: where, finish: key }, "", (_, complaint) => {
      if (ahead[where] === key) delete ahead[where];
      draw(figures);
      if (complaint) say(slip, complaint);
    });
  }

  function option(one) {
    return h("button", {
      type: "button", role: "radio", class: "option",
      onclick: () => lay(one.key),
    },
    h("span", { class: "line" }, h("b", {}, one.name), h("span", { class: "badges" }),
      h("span", { class: "apart soft" }), h("b")),
    h("span", { class: "soft" }, ""));
  }

  function putIn(one) {
    const place = figures.designs.indexOf(one);
    ask(place < 0 ? { do: "finish", finish: one.key } : { do: "take_up", place });
  }

  function draw(given) {
    figures = given;
    const keys = laid().map((one) => one.key).join("\n");
    if (drawn !== keys) {
      drawn = keys;
      buttons = laid().map(option);
      list.replaceChildren(...buttons);
    }
    sides.draw(side);
    say(basis, `prices ${figures.units.per_area}`);
    laid().forEach((one, i) => {
      const on = ["left", "right"].filter((s) => laidOn(s) === one.key);
      put(buttons[i], { "aria-checked": String(on.includes(side)) });
      const [, badges, apart, price] = buttons[i].children[0].children;
      badges.replaceChildren(...on.map((s) => h("span", { class: "badge" }, s)));
      say(price, one.per_sqft);
      say(buttons[i].children[1], [one.says ?? `A kept design, in ${one.finish.toLowerCase()}.`, one.why && `${capital(one.why)}.`].filter(Boolean).join(" "));
      say(apart, inPrice(one) ? "in the price" : one.difference);
    });
    say(slip, shownOn(side).slip);
    say(next, `The next choice goes to the ${side} side.`);
    put_in.left.hidden = laidOn("left") === laidOn("right"); // once is enough
    for (const which of ["left", "right"]) offer(put_in[which], shownOn(which));
  }

  /** What lies on a side is put in the price below that side's name. */
  function offer(button, one) {
    button.disabled = inPrice(one);
    const change = one.amount ? `, ${one.amount} ${one.is_more ? "more" : "less"}` : "";
    const name = one.says ? one.name.toLowerCase() : one.name;
    say(button, button.hidden ? "" : inPrice(one) ? `${one.name} is in the price` : `Put ${name} in the price${change}`);
  }

  return { el, draw, name: "Sheen" };
}
