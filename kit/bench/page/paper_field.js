import { h, put, say } from "./dom.js";
import { enter } from "./fields.js";

const LONGEST = 4000; // what is pasted beyond this is refused all the same

/** A field of the paper: what it cannot take is said beside it, and the last good value stays. */
export function paperField({ ask, onward, field, label, kind = "text", mode = null, wide = false, required = false, heads = null }) {
  const id = `pt-${field.replace(/\W+/g, "-")}`;
  const input = h("input", { id, type: kind, inputmode: mode, "data-heads": heads, autocomplete: "off",
    autocapitalize: "off", spellcheck: "false", "aria-required": required ? "true" : null, "aria-describedby": `${id}-says`,
    onchange: send, onkeydown: keyed });
  const says = h("p", { class: required ? "says reserved" : "says", id: `${id}-says`, role: "alert" });
  const el = h("div", { class: wide ? "field wide" : "field" }, h("label", { for: id }, label), input, says);
  let good = "";
  let isRefused = false;
  let caution = "";
  let isEntered = false;
  let isSent = false; // what was typed is not answered yet, and stays until then

  function refuse(complaint) {
    isRefused = Boolean(complaint);
    put(input, { "aria-invalid": isRefused ? "true" : null });
    says.classList.toggle("caution", !isRefused && Boolean(caution));
    const wasEntered = isEntered;
    isEntered = false;
    if (!isRefused) return say(says, caution);
    if (wasEntered) input.focus();
    const kept = good.length > 40 ? `${good.slice(0, 40)}…` : good;
    const isBare = required && !input.value.trim(); // what is kept shows in the empty field, and nothing moves
    if (isBare && kept) put(input, { placeholder: `Kept: ${kept}` });
    say(says, kept && !isBare ? `${complaint} Kept: ${kept}.` : complaint);
    says.scrollIntoView({ block: "nearest" });
  }

  function send() {
    const text = input.value.slice(0, LONGEST);
    if (text === good && !input.validity.badInput) return refuse("");
    isSent = true;
    ask({ do: "fill", field, text }, `fill.${field}`, (complaint) => {
      isSent = false;
      // what was typed or taken back meanwhile is not what was refused
      if (input.value.slice(0, LONGEST) === text) refuse(complaint);
    });
  }

  function keyed(event) {
    if (event.key === "Enter") isEntered = enter(event, onward(field, input));
    if (event.key !== "Escape" || (!isRefused && input.value === good)) return;
    event.stopPropagation();
    input.value = good;
    refuse("");
  }

  /** `hint` stands there while it is empty; `warns` is told beside it and refuses nothing. */
  function draw(value, hint = "", warns = "") {
    if (!isRefused || value !== good) put(input, { placeholder: hint || null });
    caution = warns;
    if (!isRefused) refuse("");
    const isNew = value !== good;
    good = value;
    if (isNew) refuse("");
    if (isNew ? input.value.trim() !== value || document.activeElement !== input
      : !isRefused && !isSent && document.activeElement !== input) input.value = value;
  }

  return { el, field, draw, focus: () => input.focus() };
}
