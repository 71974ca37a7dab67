import { h, icon, put, say } from "./dom.js";

const clock = new Intl.DateTimeFormat("en-US", { hour: "numeric", minute: "2-digit" });
const now = () => clock.format(new Date()).toLowerCase();

/** Whose floor it is, whether it is kept, undo and redo; and the banner below. */
export function head({ ask, onreload, onlost, onowner }) {
  const client = h("b");
  const title = h("span", { class: "soft" });
  const dot = h("i", { class: "dot", "aria-hidden": "true" });
  const kept = h("span");
  const keptBox = h("span", { class: "kept soft", role: "status" }, dot, kept);
  const undo = button("undo", "Undo", () => ask({ do: "undo" }));
  const redo = button("redo", "Redo", () => ask({ do: "redo" }));
  const owner = button("lock", "Owner's side", onowner);
  const turned = h("p", { class: "turned" }, h("b", {}, "Owner's side."), " Turn the screen away.");
  const el = h("header", { class: "head" },
    h("h1", { class: "whose" }, client, " ", title), turned, keptBox, undo, redo, owner);

  const words = h("p");
  const close = button("close", "Close this message", () => shut());
  const again = h("button", { type: "button", class: "main", onclick: onreload });
  const banner = h("div", { class: "banner", role: "alert", hidden: true },
    icon("warn"), words, again, close);
  let savedAt = "";
  let isLost = false;

  function shut() {
    banner.hidden = true;
    words.textContent = "";
  }

  function warn(notice) {
    if (!notice?.says || isLost) return;
    banner.hidden = false;
    again.hidden = true;
    close.hidden = false;
    words.replaceChildren(notice.says);
  }

  function lost() {
    isLost = true;
    banner.hidden = false;
    close.hidden = true;
    again.hidden = false;
    again.textContent = savedAt ? "Pick up where we were" : "Start again";
    const kept = savedAt
      ? `Everything up to ${savedAt} is saved. You can still slide the edge.`
      : "Nothing since the table opened is saved. You can still slide the edge.";
    words.replaceChildren(
      h("b", {}, `Pourtable stopped answering at ${now()}.`), h("br"), kept);
    onlost(now());
  }

  function back() {
    isLost = false;
    onlost("");
    shut();
  }

  function saved(message) {
    dot.className = message.ok ? "dot ok" : "dot bad";
    if (message.ok) savedAt = now();
    say(kept, message.ok ? `Saved ${savedAt}` : message.says);
    put(keptBox, { title: message.ok ? "" : message.says });
  }

  function draw({ head: figures }) {
    say(client, figures.client);
    say(title, figures.title);
    undo.disabled = !figures.can_undo;
    redo.disabled = !figures.can_redo;
    document.title = `${figures.client} · Pourtable`;
  }

  return { el, banner, draw, warn, lost, back, saved };
}

function button(glyph, name, onclick) {
  return h("button", { type: "button", class: "bare", "aria-label": name, title: name, onclick },
    icon(glyph));
}
