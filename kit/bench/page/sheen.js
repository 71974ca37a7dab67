import { choice, h, put, say } from "./dom.js";

/** Two finishes on the same floor, either side of the edge; one of them is in the price. */
export function sheenPanel({ ask }) {
  const sides = choice("Which side a finish is laid on",
    [["left", "Left of the edge"], ["right", "Right of the edge"]],
    (key) => { side = key; draw(figures); });
  const list = h("div", { class: "options", role: "radiogroup", "aria-label": "Finish" });
  const slip = h("p", { class: "soft" });
  const put_in = h("button", { type: "button", class: "main",
    onclick: () => ask({ do: "finish", finish: shownOn(side).key }) });
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Sheen"), h("span", { class: "soft" }, "per sq ft, poured")),
    sides.el, list, slip, h("div", { class: "grow" }), put_in);
  let side = "right";
  let figures = null;
  let buttons = [];

  const shownOn = (which) => figures.options.find((o) => o.key === figures.compared[which]);

  function option(finish) {
    return h("button", {
      type: "button", role: "radio", class: "option",
      onclick: () => ask({ do: "lay", side, finish: finish.key }),
    },
    h("span", { class: "line" }, h("b", {}, finish.name), h("span", { class: "badges" }),
      h("span", { class: "apart soft" }), h("b")),
    h("span", { class: "soft" }, finish.says));
  }

  function draw(given) {
    figures = given;
    if (buttons.length !== figures.options.length) {
      buttons = figures.options.map(option);
      list.replaceChildren(...buttons);
    }
    sides.draw(side);
    figures.options.forEach((finish, i) => {
      const on = ["left", "right"].filter((s) => figures.compared[s] === finish.key);
      put(buttons[i], { "aria-checked": String(on.includes(side)) });
      const [, badges, apart, price] = buttons[i].children[0].children;
      badges.replaceChildren(...on.map((s) => h("span", { class: "badge" }, s)));
      say(price, finish.per_sqft);
      say(apart, finish.chosen ? "in the price" : finish.difference);
    });
    const finish = shownOn(side);
    say(slip, finish.slip);
    put_in.disabled = finish.chosen;
    const change = finish.is_more ? "more" : "less";
    say(put_in, finish.chosen ? `${finish.name} is in the price`
      : `Put ${finish.name.toLowerCase()} in the price, ${finish.amount} ${change}`);
  }

  return { el, draw, name: "Sheen" };
}
