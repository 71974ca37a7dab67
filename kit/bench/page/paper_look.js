import { choice, h, put, say } from "./dom.js";

const UNITS = [["us", "Feet"], ["metric", "Meters"]];
const PAGES = [["letter", "Letter"], ["a4", "A4"]];
const MOST_BYTES = 8_000_000;
const FILES = {
  logo: { label: "Logo", hint: "A PNG, JPEG or SVG file", accept: ".png,.jpg,.jpeg,.svg,image/png,image/jpeg,image/svg+xml" },
  cancel_notice: { label: "Notice of cancellation", hint: (marks) => `Your official one: a PDF, or a text file with ${marks} in it`, accept: ".txt,.pdf,text/plain,application/pdf" },
  font: { label: "Typeface", hint: "Standard, or a .ttf or .otf file", accept: ".ttf,.otf" },
};
const OF_THE_FLOOR = "Taken from each floor's strongest color";
const FIRST = "#2c4c97"; // where the color chooser begins

/** How the paper looks: its language, units and size, and what is the firm's own on it. */
export function lookPart({ ask }) {
  const units = choice("Units", UNITS, (key) => ask({ do: "units", units: key }));
  const pages = choice("Paper size", PAGES, (page) => ask({ do: "page", page }));
  const language = h("div", { class: "field" });
  const files = Object.fromEntries(Object.keys(FILES).map((kind) => [kind, ownFile({ ask, kind })]));
  const accent = ownColor({ ask });
  const asked = (title, one) => h("div", { class: "field" }, h("h3", {}, title), one);
  const el = h("div", { class: "halves" },
    h("div", { class: "stack" }, language,
      h("div", { class: "two" }, asked("Units, screen and paper", units.el), asked("Paper size", pages.el))),
    h("div", { class: "own" }, h("h3", {}, "Your firm's style, kept for later jobs"),
      files.logo.el, accent.el, files.font.el, files.cancel_notice.el));
  let words = null;

  function draw({ paper: { brand } }) {
    if (!words) {
      words = choice("Language of the paper", brand.languages, (key) =>
        ask({ do: "language", language: key }, "", (complaint) => says(complaint)));
      language.append(h("h3", {}, "Language of the paper"), words.el, refused);
    }
    words.draw(brand.language);
    units.draw(brand.units);
    pages.draw(brand.page);
    accent.draw(brand.accent);
    for (const [kind, one] of Object.entries(files)) one.draw(brand[kind], brand.marks);
  }

  const refused = h("p", { class: "says", role: "alert" });
  const says = (complaint) => say(refused, complaint);
  return { el, draw, focus: (kind) => files[kind].focus() };
}

/** A line with a name, what is in use, and what to do about it. */
function line(id, label, hint, ...does) {
  const now = h("span", { class: "soft" });
  const says = h("p", { class: "says", id: `${id}-says`, role: "alert" });
  const el = h("div", { class: "own-line" }, h("label", { for: id, class: "names" }, h("b", {}, label), now), ...does, says);
  const draw = (words, marks) => say(now, words || (typeof hint === "function" ? hint(marks) : hint));
  return { el, draw, refuse: (complaint) => say(says, complaint) };
}

/** A file of the firm's: chosen, told why it cannot be used, and taken off again. */
export function ownFile({ ask, kind, onrefused = () => {} }) {
  const { label, hint, accept } = FILES[kind];
  const id = `pt-own-${kind}`;
  const input = h("input", { type: "file", id, accept, class: "aloud", tabindex: "-1",
    "aria-describedby": `${id}-says`, onchange: () => take() });
  const pick = h("button", { type: "button", class: "quiet", "aria-label": `Choose a ${label.toLowerCase()}`,
    onclick: () => input.click() }, "Choose");
  const off = h("button", { type: "button", class: "bare wide", "aria-label": `Take the ${label.toLowerCase()} off`,
    onclick: () => ask({ do: "brand_off", kind }, "", (_, complaint) => refuse(complaint)) }, "Take off");
  const one = line(id, label, hint, input, pick, off);

  function refuse(complaint) {
    one.refuse(complaint);
    onrefused(complaint);
  }

  async function take() {
    const [given] = input.files;
    if (!given) return;
    if (given.size > MOST_BYTES) refuse(`${given.name} is ${(given.size / 1e6).toFixed(1)} MB. Give a file of at most 8 MB.`);
    else {
      const content = await given.arrayBuffer();
      ask({ do: "brand", kind, name: given.name, content }, "", (_, complaint) => refuse(complaint));
    }
    input.value = "";
  }

  function draw(name, marks) {
    one.draw(name, marks);
    off.hidden = !name;
    say(pick, name ? "Change" : "Choose");
  }

  return { el: one.el, acts: [pick, off], draw, focus: () => pick.focus(), choose: () => input.click() };
}

/** The color of the house, or none. */
function ownColor({ ask }) {
  const id = "pt-own-color";
  const input = h("input", { type: "color", id, "aria-describedby": `${id}-says`,
    onchange: () => ask({ do: "accent", color: input.value }, "", one.refuse) });
  const off = h("button", { type: "button", class: "bare wide", "aria-label": "Take the color off",
    onclick: () => ask({ do: "accent", color: "" }, "", one.refuse) }, "Take off");
  const one = line(id, "Color", OF_THE_FLOOR, input, off);

  function draw(color) {
    one.draw(color);
    input.value = color || FIRST;
    put(input, { class: color ? null : "none" });
    off.hidden = !color;
  }

  return { el: one.el, draw };
}
