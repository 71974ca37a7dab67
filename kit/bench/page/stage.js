import { choice, h, icon, put, say } from "./dom.js";
import { edge } from "./edge.js";

const VIEWS = [["above", "From above"], ["room", "In the room"]];
const SLOW_MS = 7000;
const MOODS = [["day", "Day"], ["evening", "Evening"]];

/** Draw the floor, the edge across it, and what changes the view of it. */
function render({ model, el }) {
  const set = (name, value) => { model.set(name, value); model.save_changes(); };
  const left = h("img", { class: "side", alt: "", draggable: "false" });
  const right = h("img", { class: "side right", alt: "", draggable: "false" });
  const picture = h("div", { class: "picture", role: "img" }, left, right);
  const signs = [tag("left"), tag("right")];
  const busy = h("p", { class: "tag busy", role: "status" });
  const views = choice("Seen", VIEWS, (view) => set("view", view === "room" ? inside : view));
  const places = choice("Standing", model.get("standings"), (place) => set("view", place));
  const moods = choice("Light", MOODS, (mood) => set("mood", mood));
  const whole = h("button", { type: "button", class: "quiet whole", "aria-pressed": "false", "aria-label": "Floor only",
    onclick: () => stage.dispatchEvent(new CustomEvent("flooronly", { bubbles: true })) },
    icon("whole"), h("span", {}, "Floor only"));
  const divider = edge({ onmove: slide, onrest: (at) => set("edge", at) });
  const waiting = h("p", { class: "waiting" }, "Pouring the floor…");
  const stage = h("div", { class: "pt stage", "data-seq": "0" },
    picture, waiting, divider.el, signs[0].el, signs[1].el, busy,
    h("div", { class: "looks" }, views.el, places.el, moods.el, whole));
  el.append(stage);
  const slow = setTimeout(
    () => say(waiting, "The first floor after installing takes up to a minute…"), SLOW_MS);
  let urls = [];
  let tags = [];
  let turn = 0;
  let inside = "room";

  function slide(at) {
    stage.style.setProperty("--parting", at);
    divider.draw(tags);
  }

  async function paint() {
    const pictures = model.get("pictures");
    if (!pictures.left?.byteLength) return;
    const mine = ++turn;
    const fresh = [pictures.left, pictures.right]
      .map((bytes) => (bytes?.byteLength ? URL.createObjectURL(new Blob([bytes], { type: "image/jpeg" })) : ""));
    const ready = fresh.filter(Boolean).map((url) => Object.assign(new Image(), { src: url }).decode());
    await Promise.all(ready).catch(() => {});
    if (mine !== turn) return fresh.forEach((url) => url && URL.revokeObjectURL(url));
    left.src = fresh[0];
    right.hidden = !fresh[1];
    if (fresh[1]) right.src = fresh[1];
    put(picture, { "aria-label": pictures.says });
    tags = pictures.tags;
    label();
    urls.forEach((url) => url && URL.revokeObjectURL(url));
    urls = fresh;
    parted();
    requestAnimationFrame(() => {
      waiting.hidden = true;
      stage.dataset.ready = "1";
      stage.dataset.seq = String(Number(stage.dataset.seq) + 1);
    });
  }

  function parted() {
    const two = model.get("compare") && !right.hidden && Boolean(right.src);
    stage.classList.toggle("parted", two);
    divider.el.hidden = !two;
  }

  function label() {
    const words = model.get("words");
    tags = tags.map(([name, told]) => [name, words[name] ?? told]);
    signs.forEach((sign, i) => sign.draw(tags[i]));
    divider.draw(tags);
  }

  function looks() {
    const view = model.get("view");
    const above = view === "above";
    if (!above) inside = view;
    views.draw(above ? "above" : "room");
    places.draw(view);
    places.el.hidden = above;
    moods.draw(model.get("mood"));
    parted();
  }

  const wait = () => say(busy, model.get("busy") ? "Pouring…" : "");
  const moved = () => divider.place(model.get("edge"));
  const alone = (event) => {
    put(whole, { "aria-pressed": String(event.detail),
      "aria-label": event.detail ? "Tools back" : "Floor only" });
    say(whole.querySelector("span"), event.detail ? "Tools back" : "Floor only");
  };
  const measure = new ResizeObserver(() => {
    const scale = Math.min(window.devicePixelRatio || 1, 2);
    const size = [stage.clientWidth, stage.clientHeight].map((v) => Math.round(v * scale));
    if (size[0] > 40 && size[1] > 40 && String(size) !== String(model.get("size_px")))
      set("size_px", size);
  });
  const heard = {
    "change:pictures": paint, "change:words": label, "change:busy": wait,
    "change:view": looks, "change:mood": looks, "change:compare": looks, "change:edge": moved,
  };
  for (const [name, does] of Object.entries(heard)) model.on(name, does);
  stage.addEventListener("alone", alone);
  measure.observe(stage);
  label();
  looks();
  wait();
  moved();
  paint();
  return () => {
    clearTimeout(slow);
    for (const [name, does] of Object.entries(heard)) model.off(name, does);
    measure.disconnect();
    urls.forEach((url) => url && URL.revokeObjectURL(url));
  };
}

function tag(side) {
  const name = h("b");
  const words = h("span");
  const el = h("p", { class: `tag finish ${side}` }, name, words);
  const draw = (given) => {
    el.hidden = !given;
    if (!given) return;
    say(name, given[0]);
    say(words, given[1]);
  };
  return { el, draw };
}

export default { render };
