import { h, icon, say } from "./dom.js";
import { ownFile } from "./paper_look.js";
import { placeOfSale } from "./paper_shows.js";

/**
 * What signing at home still waits for, with what mends it beside it: the notice of
 * cancellation is chosen here, how to reach the firm is filled in by `onfill(field)`, and
 * where `place` is said to be asked, it can be signed elsewhere.
 */
export function homeSale({ ask, onfill }) {
  const where = placeOfSale(ask);
  const words = h("span");
  const refused = h("p", { class: "says", role: "alert" });
  const file = ownFile({ ask, kind: "cancel_notice", onrefused: (complaint) => say(refused, complaint) });
  const attach = h("button", { type: "button", onclick: () => file.choose() }, "Attach the notice");
  const fill = h("button", { type: "button", onclick: () => onfill(fill.dataset.field) }, "Fill it in");
  const el = h("div", { class: "missing home", role: "status", hidden: true }, icon("warn"), words, attach, fill, refused, where.el);
  where.el.hidden = true;

  function draw({ sale, brand }) {
    where.draw(sale.at);
    if (el.hidden) say(refused, "");
    el.hidden = !sale.lacks.length;
    const [first] = sale.lacks;
    attach.hidden = !first?.own;
    fill.hidden = !first?.field;
    fill.dataset.field = first?.field ?? "";
    say(words, !first ? "" : first.own
      ? `To be signed at home it needs your notice of cancellation: a PDF, or a text with ${brand.marks}. Asked once.`
      : `Not ready to be signed at home. ${first.says}`);
  }

  const place = (is) => (where.el.hidden = !is);
  return { el, draw, place };
}
