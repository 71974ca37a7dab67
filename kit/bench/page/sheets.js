import { h, icon, put, say } from "./dom.js";

const WIDE_PX = 612; // until a page is there: Letter's own shape
const TALL_PX = 792;

/** The pages of the proposal as they will be printed; each can be read large. */
export function pageSheets({ ask }) {
  const list = h("ol", { class: "sheets" });
  const state = h("p", { class: "tag setting", role: "status" });
  const lacks = h("div", { class: "lacks" }, h("b", {}, "No pages yet"), h("ul"));
  const reader = pageReader();
  const el = h("section", { class: "desk", "aria-label": "Pages of the proposal" },
    lacks, list, state, reader.el);
  let urls = [];
  let now = { count: 0, sketch: false, stale: false, says: "" };
  let isLooked = false;

  function words() {
    if (now.says) return now.says;
    if (!lacks.hidden) return "";
    if (!now.count) return "Setting the pages…";
    if (now.stale) return "Out of date, setting them again…";
    return now.sketch ? "Pictures are being drawn for print…" : "";
  }

  function mark() {
    say(state, words());
    el.classList.toggle("stale", Boolean(now.stale));
    put(list, { "aria-busy": String(now.stale || !now.count) });
    put(el, { "data-pages": now.stale || now.sketch ? null : now.count || null });
  }

  function page(url, at, count) {
    const img = h("img", { src: url, alt: "", draggable: "false", width: WIDE_PX, height: TALL_PX,
      onload: () => put(img, { width: img.naturalWidth, height: img.naturalHeight }) });
    return h("li", {}, h("button", { type: "button", class: "sheet",
      "aria-label": `Page ${at + 1} of ${count}, read it large`,
      onclick: () => reader.open(at) }, img));
  }

  function received(message, buffers) {
    now = { ...now, says: "", ...message };
    if (message.says) now.stale = false;
    if ("count" in message) {
      const old = urls;
      urls = (buffers ?? []).map((bytes) => URL.createObjectURL(new Blob([bytes], { type: "image/png" })));
      if (list.children.length === urls.length) {
        // the same pages in the same places: neither focus nor scroll is lost
        urls.forEach((url, at) => { list.children[at].querySelector("img").src = url; });
      } else list.replaceChildren(...urls.map((url, at) => page(url, at, urls.length)));
      reader.draw(urls);
      old.forEach((url) => URL.revokeObjectURL(url));
    }
    mark();
  }

  function draw({ paper }) {
    lacks.hidden = !paper.lacks.length;
    list.hidden = !lacks.hidden;
    lacks.querySelector("ul").replaceChildren(...paper.lacks.map((one) => h("li", {}, one.says)));
    mark();
  }

  function look(is) {
    if (is === isLooked) return;
    isLooked = is;
    ask({ do: "pages", on: is }, "pages");
  }

  return { el, draw, received, look };
}

/** One page as wide as the screen; arrows turn it, Escape puts it back. */
function pageReader() {
  const img = h("img", { draggable: "false" });
  const title = h("b", { role: "status" });
  const back = turner("left", "Page before", -1);
  const on = turner("right", "Next page", 1);
  const view = h("div", { class: "leaf", tabindex: "0", role: "region", "aria-label": "The page" }, img);
  const el = h("dialog", { class: "reader", "aria-label": "Page of the proposal", onkeydown: keyed },
    h("div", { class: "turning" }, back, title, on,
      h("button", { type: "button", class: "quiet", onclick: () => el.close() }, icon("close"), "Close")),
    view);
  let urls = [];
  let at = 0;

  function turner(glyph, name, by) {
    return h("button", { type: "button", class: "bare", "aria-label": name, title: name,
      onclick: () => turn(at + by) }, icon(glyph));
  }

  function keyed(event) {
    const by = { ArrowLeft: -1, PageUp: -1, ArrowRight: 1, PageDown: 1 }[event.key];
    if (!by) return;
    event.preventDefault();
    turn(at + by);
  }

  function turn(to) {
    if (!urls.length) return;
    at = Math.min(Math.max(to, 0), urls.length - 1);
    put(img, { src: urls[at],
      alt: `Page ${at + 1} of ${urls.length} of the proposal. The saved PDF has its text.` });
    say(title, `Page ${at + 1} of ${urls.length}`);
    back.disabled = at === 0;
    on.disabled = at === urls.length - 1;
    view.scrollTop = 0;
  }

  function open(which) {
    turn(which);
    el.showModal();
    view.focus();
  }

  function draw(given) {
    urls = given;
    if (!el.open) return;
    if (urls.length) turn(at);
    else el.close();
  }

  return { el, open, draw };
}
