import { h, icon, put, say } from "./dom.js";

const clock = new Intl.DateTimeFormat("en-US", { hour: "numeric", minute: "2-digit" });
const now = () => clock.format(new Date()).toLowerCase();

const AGREED = "agreed price"; // a notice that stays at every step
const PASSES_MS = 20_000;
const STOPPED = "pourtable-stopped";

/** Whether this page comes after one that stopped answering, by a reload, or neither. */
export function howItCame() {
  const stopped = sessionStorage.getItem(STOPPED);
  sessionStorage.removeItem(STOPPED);
  if (stopped) return "lost";
  return performance.getEntriesByType("navigation")[0]?.type === "reload" ? "reload" : "open";
}

/** Whose floor it is, whether it is kept, undo and redo; and the banner below. */
export function head({ ask, onreload, onlost, onowner, onjobs }) {
  const client = h("b");
  const title = h("span", { class: "soft" });
  const dot = h("i", { class: "dot", "aria-hidden": "true" });
  const kept = h("span");
  const keptBox = h("span", { class: "kept soft", role: "status" }, dot, kept);
  const undo = button("undo", "Undo", () => ask({ do: "undo" }));
  const redo = button("redo", "Redo", () => ask({ do: "redo" }));
  const owner = button("lock", "Owner's side", onowner);
  const jobs = h("button", { type: "button", class: "bare wide jobs-door", onclick: onjobs }, icon("left"), "Jobs");
  const turned = h("p", { class: "turned" }, h("b", {}, "Owner's side."), " Turn the screen away.");
  const el = h("header", { class: "head" }, jobs,
    h("h1", { class: "whose" }, client, " ", title), turned, keptBox, undo, redo, owner);

  const words = h("p");
  const close = button("close", "Close this message", () => shut());
  const again = h("button", { type: "button", class: "main", onclick: onreload });
  const offers = h("span", { class: "offers" });
  const banner = h("div", { class: "banner", role: "alert", hidden: true },
    icon("warn"), words, offers, again, close);
  let passing = 0;
  let last = null;
  let about = "";
  let savedAt = "";
  let isLost = false;

  function shut() {
    clearTimeout(passing);
    banner.hidden = true;
    about = "";
    words.textContent = "";
    offers.replaceChildren();
  }

  /** Say a notice; `offers` are buttons with their wishes, one that `passes` goes by itself. */
  function warn(notice) {
    if (notice?.offers) last = notice;
    if (isLost || !notice?.number) return;
    if (!notice.says) {
      if (offers.childElementCount || (notice.about && notice.about === about)) shut();
      return;
    }
    // What waits for an answer is not covered by what only informs.
    if (offers.childElementCount && !notice.offers) return;
    shut();
    banner.hidden = false;
    about = notice.about ?? "";
    again.hidden = true;
    offers.replaceChildren(...(notice.offers ?? []).map(([name, wish], place) =>
      h("button", { type: "button", class: place ? "quiet" : "main", onclick: () => ask({ do: wish }) }, name)));
    // One that asks which of two to keep stays until it is answered.
    close.hidden = (notice.offers ?? []).some(([, wish]) => wish === "as_copy");
    words.replaceChildren(notice.says);
    if (notice.passes) passing = setTimeout(shut, PASSES_MS);
  }

  /** What was said of a matter goes when a wish about that is granted. */
  function mended(matter) {
    if (about === matter) shut();
  }

  /** What is said of one step goes with it. */
  function leave() {
    if (about && about !== AGREED) shut();
  }

  function lost() {
    shut();
    isLost = true;
    sessionStorage.setItem(STOPPED, "1");
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
    sessionStorage.removeItem(STOPPED);
    onlost("");
    shut();
    if (last?.offers?.length) warn(last);
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

  /** What is typed into a name, before it is taken; the floor's own is drawn once it is. */
  function called(which, words) {
    const name = words.trim();
    if (name) say(which === "client" ? client : title, name);
  }

  return { el, banner, draw, called, warn, mended, leave, lost, back, saved };
}

function button(glyph, name, onclick) {
  return h("button", { type: "button", class: "bare", "aria-label": name, title: name, onclick },
    icon(glyph));
}
