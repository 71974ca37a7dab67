import { h, put, say } from "./dom.js";

const SIDES = [["mine", "Here"], ["theirs", "The other"]];

/** Ask, field by field, whose word stands where two windows changed one job. */
export function bothSide({ ask }) {
  const title = h("h2", { id: "pt-both" }, "Both windows changed this");
  const lead = h("p", { class: "soft" });
  const list = h("div", { class: "both-asks", tabindex: "0", role: "group", "aria-label": "What both changed" });
  const also = h("div", { class: "soft both-also" });
  const says = h("p", { class: "says", role: "alert" });
  const go = h("button", { type: "submit", class: "main" }, "Put both together");
  const form = h("form", { method: "dialog", onsubmit: send }, title, lead, list, also, says,
    h("div", { class: "pair" }, h("button", { type: "button", class: "quiet", onclick: () => el.close() }, "Not yet"), go));
  const el = h("dialog", { class: "door both", "aria-labelledby": "pt-both" }, form);
  let take = {};
  let seen = 0;
  let open = 0;

  function send(event) {
    event.preventDefault();
    say(says, "");
    ask({ do: "together", take, seen }, "", (complaint) => say(says, complaint));
  }

  function field(one, place) {
    const id = `pt-both-${place}`;
    const buttons = SIDES.map(([side, words]) => h("button", { type: "button", class: "option", role: "radio", "aria-checked": "false",
      tabindex: side === "mine" ? "0" : "-1", onclick: () => decide(side), onkeydown: turn },
    h("span", { class: "soft" }, words), h("b", {}, one[side])));
    function decide(side) {
      take[one.field] = side;
      SIDES.forEach(([name], at) => put(buttons[at], { "aria-checked": String(name === side), tabindex: name === side ? "0" : "-1" }));
      count();
    }
    function turn(event) {
      if (!["ArrowRight", "ArrowDown", "ArrowLeft", "ArrowUp"].includes(event.key)) return;
      event.preventDefault();
      const other = buttons[1 - buttons.indexOf(event.currentTarget)];
      other.focus();
      other.click();
    }
    return h("div", { class: "both-ask" },
      h("p", { id }, h("b", {}, one.name), h("span", { class: "soft" }, ` was ${one.before}`)),
      h("div", { class: "pair", role: "radiogroup", "aria-labelledby": id }, buttons));
  }

  function count() {
    const left = open - Object.keys(take).length;
    go.disabled = left > 0;
    say(go, left > 0 ? `${left} to decide` : "Put both together");
  }

  /** Open on what is asked, or close with nothing of it left in the page. */
  function draw(both) {
    take = {};
    list.replaceChildren(...(both?.asks ?? []).map(field));
    say(says, both?.once_more ? "The other window changed it once more meanwhile. Please decide again." : "");
    if (!both) return el.open && el.close();
    seen = both.seen;
    open = both.asks.length;
    const who = both.who || "another window";
    say(lead, `What only one of you changed is kept from both. Where you and ${who} differ, whose word stands?`);
    const rest = [["Also from here", both.mine], ["Also from the other", both.theirs]].filter(([, said]) => said.length);
    also.replaceChildren(...rest.map(([whose, said]) => h("p", {}, h("b", {}, `${whose}: `), said.join("; "))));
    count();
    if (!el.open) el.showModal();
    list.querySelector("button").focus();
    return null;
  }

  return { el, draw };
}
