import { h, icon, say } from "./dom.js";
import { ownFile } from "./paper_look.js";
import { placeOfSale } from "./paper_shows.js";

/**
 * What signing at home still waits for, with what mends it beside it: the notice of
 * cancellation is chosen here, how to reach the firm is filled in by `onfill(field)`. Once
 * the notice is attached it is named in that place, with a way to change it or take it off:
 * always where it `stays`, else as long as it was seen to be missing. Where it is signed is
 * asked too, from `place(true)` on; `waiting()` is the button of what it waits for, if any, of
 * all the `mends`.
 */
export function homeSale({ ask, onfill, stays = false }) {
  const where = placeOfSale(ask);
  const words = h("span");
  const kind = h("p", { class: "soft" });
  const refused = h("p", { class: "says", role: "alert" });
  const file = ownFile({ ask, kind: "cancel_notice", onrefused: (complaint) => say(refused, complaint) });
  const attach = h("button", { type: "button", "aria-label": "Attach the notice", onclick: () => file.choose() }, "Attach it");
  const fill = h("button", { type: "button", onclick: () => onfill(fill.dataset.field) }, "Fill it in");
  const named = h("span");
  const waits = h("div", { class: "missing" }, icon("warn"), words, attach, fill, kind, where.el);
  const has = h("div", { class: "missing ready" }, icon("check"), named, ...file.acts);
  const el = h("div", { class: "home", role: "status", hidden: true }, waits, has, refused);
  let wasMissing = false;
  where.el.hidden = true;

  function draw({ sale, brand }) {
    where.draw(sale.at);
    if (el.hidden) say(refused, "");
    const [first] = sale.lacks;
    wasMissing ||= Boolean(first?.own);
    waits.hidden = !first;
    has.hidden = !sale.notice || !(stays || wasMissing);
    el.hidden = waits.hidden && has.hidden;
    attach.hidden = kind.hidden = !first?.own;
    fill.hidden = !first?.field;
    fill.dataset.field = first?.field ?? "";
    file.draw(sale.notice, brand.marks);
    say(named, `${sale.notice} is attached.`);
    say(kind, `A PDF, or a text file with ${brand.marks}; kept for every paper.`);
    say(words, !first ? "" : first.own
      ? "To be signed at home it needs your notice of cancellation."
      : `Not ready to be signed at home. ${first.says}`);
  }

  const place = (is) => (where.el.hidden = !is);
  const waiting = () => (el.hidden || waits.hidden ? null : [attach, fill].find((one) => !one.hidden) ?? null);
  return { el, draw, place, waiting, mends: [attach, fill] };
}
