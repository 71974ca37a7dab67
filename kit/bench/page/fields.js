import { h, icon, put, say } from "./dom.js";

let count = 0;

/**
 * A field that says itself what is wrong with it; the last good value stays until it is
 * mended, and Escape brings it back. `onset(text, answer)` takes what was typed.
 */
export function field({ label, quiet = false, onset, onkey, kind = "input", ...given }) {
  const id = `pt-field-${(count += 1)}`;
  const says = h("span", { class: "says", id: `${id}-says`, role: "alert", hidden: true });
  const input = h(kind, { id, autocomplete: "off", spellcheck: "false", maxlength: 200, ...given,
    "aria-describedby": `${id}-says` });
  const name = h("label", { for: id, class: quiet ? "aloud" : "" }, label);
  const el = h("div", { class: "field" }, name, input, says);
  let good = "";

  function answer(complaint) {
    says.hidden = !complaint;
    say(says, complaint.replace(/^[^:]*: /, ""));
    put(input, { "aria-invalid": complaint ? "true" : null });
    if (!complaint) input.value = good;
  }

  function set() {
    if (input.value === good) answer("");
    else onset(input.value, answer);
  }

  input.addEventListener("change", set);
  input.addEventListener("keydown", (event) => {
    if (event.key === "Escape") {
      input.value = good;
      answer("");
    }
    onkey?.(event);
  });

  function draw(value) {
    const untouched = input.value === good;
    good = value;
    if (untouched) answer("");
  }

  const called = (words) => say(name, words);
  return { el, input, draw, called, answer };
}

/** A small button with a glyph and a name. */
export function glyphButton(glyph, name, onclick) {
  return h("button", { type: "button", class: "bare", "aria-label": name, title: name, onclick }, icon(glyph));
}

/** Parts of a list that are kept while the list is drawn again: `draw(things)`. */
export function kept(el, make) {
  const parts = [];
  return (things) => {
    while (parts.length > things.length) parts.pop().el.remove();
    things.forEach((thing, i) => {
      if (!parts[i]) {
        parts[i] = make(i);
        el.append(parts[i].el);
      }
      parts[i].draw(thing, i);
    });
  };
}
