import { choice, h, put, say } from "./dom.js";
import { ink, signingBox } from "./ink.js";

const TYPED = "Your name stands as a typed name, not as a drawn one; the paper says so.";
const OURS = "The line of your firm is left open: sign it by hand on each printed copy.";
const CAUTION = "Whether a signature on a screen is binding is for the law to say; "
  + "this page does not check who signs.";

/** Accept the floor as chosen: sign in the box, or type the name. */
export function signPart({ ask }) {
  let way = "draw";
  let strokes = 0;
  let isOwn = false;
  let isReady = false;
  let wasSigned = false;
  let isTold = false; // told once of what speaks against signing now
  let isAgainst = false;
  let accepts = "";
  let sheets = { count: 0, stale: false, says: "" };
  let isUnready = false; // to be signed at home
  let isLed = false; // to sign is what is next
  const waits = h("p", { class: "soft waits", role: "status" });
  const sum = h("p", { class: "sum" });
  const name = h("input", { id: "pt-signer", type: "text", autocomplete: "off", spellcheck: "false",
    maxlength: 200, "aria-describedby": "pt-signer-says", oninput: () => { isOwn = true; able(); } });
  const says = h("p", { class: "says", id: "pt-signer-says", role: "alert" });
  const how = choice("How to sign", [["draw", "Draw it"], ["type", "Type it"]], (key) => {
    way = key;
    say(says, "");
    show();
  });
  const typed = h("p", { class: "typed-name" });
  const typedWords = h("p", { class: "soft" }, TYPED);
  const back = h("button", { type: "button", onclick: () => box.takeBack() }, "Undo stroke");
  const clear = h("button", { type: "button", onclick: () => box.clear() }, "Clear");
  const accept = h("button", { type: "button", class: "main", onclick: sign }, "Accept and sign");
  const box = signingBox({ onink: (count) => { strokes = count; inked(); } });
  const signing = h("div", { class: "halves" },
    h("div", { class: "signer" }, h("label", { for: "pt-signer" }, "Name of who signs"), name, how.el),
    h("div", { class: "stack" }, box.el, typed, typedWords,
      h("div", { class: "signing" }, back, clear, accept), waits, says));

  const advice = h("p", { class: "soft" });
  const given = ink();
  const givenName = h("p", { class: "typed-name" });
  const since = h("p", { role: "status" });
  const signed = h("div", { class: "stack" }, since,
    h("div", { class: "given" }, given.el, givenName),
    h("button", { type: "button", class: "quiet", onclick: () => ask({ do: "unsign" }) },
      "Take the signature off"));
  const el = h("div", { class: "stack" }, sum, signing, signed, h("p", { class: "soft" }, `${CAUTION} ${OURS}`), advice);

  function inked() {
    back.disabled = clear.disabled = !strokes;
    // one signs what can be read; where no pages can be made, the words above stand
    const isSet = Boolean(sheets.says) || (sheets.count > 0 && !sheets.stale);
    const against = [!isSet && "The pages are not here yet.",
      isUnready && "The paper is not ready to be signed at home."].filter(Boolean).join(" ");
    if (!against) isTold = false;
    isAgainst = Boolean(against);
    say(waits, !isReady || !against ? "" : isTold ? `${against} Press again to sign all the same.`
      : isSet ? "" : "The pages are being set; read them before you sign.");
    accept.disabled = !isReady || !name.value.trim() || (way === "draw" && !strokes);
  }

  /** What is told of the pages: how many, out of date, or why there are none. */
  function pages(message) {
    sheets = { ...sheets, says: "", ...message };
    inked();
  }

  function able() {
    const who = name.value.trim();
    say(typed, who);
    say(sum, accepts ? `${who || "Whoever signs"} accepts ${accepts}.` : "Nothing to accept yet.");
    el.classList.toggle("to-name", isLed && !who);
    el.classList.toggle("to-sign", isLed && Boolean(who));
    inked();
  }

  function show() {
    how.draw(way);
    const isDrawn = way === "draw";
    for (const one of [box.el, back, clear]) one.hidden = !isDrawn;
    for (const one of [typed, typedWords]) one.hidden = isDrawn;
    able();
  }

  function sign() {
    if (isAgainst && !isTold) {
      isTold = true;
      return inked();
    }
    isTold = false;
    const isTyped = way === "type";
    const given = box.given();
    ask({ do: "sign", name: name.value, typed: isTyped, ratio: given.ratio,
      strokes: isTyped ? [] : given.strokes }, "sign",
      (complaint) => say(says, complaint));
  }

  function draw({ paper }) {
    isReady = !paper.lacks.length;
    isUnready = paper.sale.lacks.length > 0;
    accepts = paper.accepts;
    say(advice, paper.advice.map((one) => one.says).join(" "));
    if (!isOwn) name.value = paper.signer;
    const now = paper.signed;
    sum.hidden = signing.hidden = Boolean(now);
    signed.hidden = !now;
    if (now) {
      say(since, now.says);
      given.el.classList.toggle("none", !now.strokes.length);
      given.draw(now.strokes, now.ratio);
      say(givenName, now.strokes.length ? "" : now.name);
      put(signed.querySelector(".given"), { role: "img", "aria-label": `Signature of ${now.name}` });
      // a next signature is drawn afresh
      if (!wasSigned) box.clear();
    }
    wasSigned = Boolean(now);
    show();
  }

  /** What of signing comes next is marked, where to sign is next. */
  function lead(is) {
    isLed = is;
    able();
  }

  return { el, draw, pages, lead, accept };
}
