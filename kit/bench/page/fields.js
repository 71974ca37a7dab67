import { h, icon, put, say } from "./dom.js";

let count = 0;

/**
 * A field that says itself what is wrong with it; the last good value stays until it is
 * mended, and Escape brings it back. `onset(text, answer)` takes what was typed, and Enter
 * goes to what `onward()` names. One that is `required` has room for its complaint, so that
 * nothing moves when it is emptied.
 */
export function field({ label, quiet = false, required = false, onset, onkey, onward, kind = "input", ...given }) {
  const id = `pt-field-${(count += 1)}`;
  const says = h("span", { class: required ? "says reserved" : "says", id: `${id}-says`, role: "alert", hidden: !required });
  const input = h(kind, { id, autocomplete: "off", spellcheck: "false", maxlength: 200, ...given,
    "aria-required": required ? "true" : null, "aria-describedby": `${id}-says` });
  const name = h("label", { for: id, class: quiet ? "aloud" : "" }, label);
  const el = h("div", { class: "field" }, name, input, says);
  let good = "";
  let isEntered = false;

  function answer(complaint) {
    says.hidden = !complaint && !required;
    say(says, complaint);
    if (complaint && isEntered) input.focus();
    isEntered = false;
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
    if (event.key === "Enter" && onward && kind === "input") {
      isEntered = enter(event, onward(input));
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

/** Go on from a field by Enter, which does no more there; whether there was somewhere to go. */
export function enter(event, next) {
  if (!next) return false;
  event.preventDefault();
  next.focus();
  next.select?.();
  return true;
}

/** The control after one, of those that are filled in within `el`. */
export function following(el, one) {
  const all = [...el.querySelectorAll("input, textarea, select")].filter((e) => e.offsetParent);
  return all[all.indexOf(one) + 1] ?? null;
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
