import { choice, h, icon, put, say } from "./dom.js";
import { edge } from "./edge.js";
import { shading } from "./shading.js";

const VIEWS = [["above", "From above"], ["room", "In the room"]];
const SLOW_MS = 7000;
const MOODS = [["day", "Day"], ["evening", "Evening"]];

/** Draw the floor, the edge across it, and what changes the view of it. */
function render({ model, el }) {
  const set = (name, value) => { model.set(name, value); model.save_changes(); };
  const left = h("canvas", { class: "side", width: 0, height: 0, hidden: true });
  const right = h("canvas", { class: "side right", width: 0, height: 0, hidden: true });
  const picture = h("div", { class: "picture", role: "img" }, left, right);
  const signs = [tag("left"), tag("right")];
  const busy = h("p", { class: "tag busy", role: "status" });
  const views = choice("Seen", VIEWS, (view) => set("view", view === "room" ? inside : view));
  const places = choice("Standing", model.get("standings"), (place) => set("view", place));
  const moods = choice("Light", MOODS, (mood) => { ahead(() => ({ mood })); set("mood", mood); });
  const whole = h("button", { type: "button", class: "quiet whole", "aria-pressed": "false", "aria-label": "Floor only",
    onclick: () => stage.dispatchEvent(new CustomEvent("flooronly", { bubbles: true })) },
    icon("whole"), h("span", {}, "Floor only"));
  const divider = edge({ onmove: slide, onrest: (at) => set("edge", at) });
  const waiting = h("p", { class: "waiting" });
  const stage = h("div", { class: "pt stage", "data-seq": "0" },
    picture, waiting, divider.el, signs[0].el, signs[1].el, busy,
    h("div", { class: "looks" }, views.el, places.el, moods.el, whole));
  el.append(stage);
  const shader = shading();
  let look = {};
  let tags = [];
  let turn = 0;
  let due = 0;
  let inside = "room";
  let slow = 0;
  let seen = ""; // the view that is shown, which may not be yet the one that is asked for

  function slide(at) {
    stage.style.setProperty("--parting", at);
    divider.draw(tags);
  }

  /** Show the pictures that Python made. */
  async function paint() {
    const pictures = model.get("pictures");
    const mine = ++turn;
    if (!pictures.left?.byteLength) {
      if (!look.sides) bare();
      return;
    }
    const blobs = [pictures.left, pictures.right].filter((bytes) => bytes?.byteLength)
      .map((bytes) => createImageBitmap(new Blob([bytes], { type: "image/jpeg" })));
    const images = await Promise.all(blobs).catch(() => []);
    if (mine === turn && images.length) {
      [left, right].forEach((canvas, i) => draw(canvas, images[i]));
      shown(pictures, images.length);
    }
    images.forEach((image) => image.close());
  }

  function draw(canvas, image) {
    if (!image) return;
    Object.assign(canvas, { width: image.width, height: image.height });
    canvas.getContext("2d").drawImage(image, 0, 0);
  }

  /** Shade the plates anew in the next frame, however often it is asked for. */
  function shade() {
    if (!due && shader?.can(look)) due = requestAnimationFrame(() => {
      due = 0;
      if (!shader.can(look)) return;
      turn += 1;
      look.sides.slice(0, 2).forEach((side, i) =>
        shader.paint(look, side, model.get("optics"), [left, right][i]));
      shown(look, look.sides.length);
    });
  }

  function told() {
    const was = floorOf(look);
    look = model.get("shades");
    put(stage, { "data-plates": look.all ? "all" : "some" });
    if (look.sides && floorOf(look) !== was) shade();
    else if (look.sides) {
      tags = look.tags;
      label();
    } else if (!model.get("pictures").left?.byteLength) bare();
  }

  /** Show at once what a choice will look like; Python tells the same, or takes it back. */
  function ahead(change) {
    if (!change) return told();
    if (!look.sides) return;
    look = { ...look, ...change(look) };
    shade();
  }

  function plate({ plate: words }, textures) {
    if (!words) return;
    shader?.keep(words, textures);
    const isSeen = (side) => side.film === words.film && (!words.finish || side.finish === words.finish);
    if ((!words.mood || words.mood === look.mood) && look.sides?.some(isSeen)) shade();
  }

  function shown(given, count) {
    left.hidden = false;
    right.hidden = count < 2;
    seen = given.view;
    wait();
    put(picture, { "aria-label": given.says });
    tags = given.tags;
    label();
    parted();
    requestAnimationFrame(() => {
      waiting.hidden = true;
      stage.dataset.ready = "1";
      stage.dataset.seq = String(Number(stage.dataset.seq) + 1);
    });
  }

  /** No floor to show: nothing was poured yet, or the walls are open again. */
  function bare() {
    tags = [];
    label();
    left.hidden = right.hidden = true;
    put(picture, { "aria-label": null });
    wait();
    parted();
  }

  function parted() {
    const two = model.get("compare") && !right.hidden;
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

  const wait = () => {
    const isElsewhere = !left.hidden && seen === "above" && model.get("view") !== "above";
    say(busy, !model.get("busy") ? "" : isElsewhere ? "From above, until the room is lit…" : "Pouring…");
    clearTimeout(slow);
    if (!left.hidden) return;
    waiting.hidden = false;
    if (!model.get("busy")) return say(waiting, "The floor is poured here once the walls close.");
    say(waiting, "Pouring the floor…");
    slow = setTimeout(
      () => say(waiting, "Pouring the floor… The first one after installing takes a minute or two."), SLOW_MS);
  };
  const moved = () => divider.place(model.get("edge"));
  const alone = (event) => {
    put(whole, { "aria-pressed": String(event.detail),
      "aria-label": event.detail ? "Tools back" : "Floor only" });
    say(whole.querySelector("span"), event.detail ? "Tools back" : "Floor only");
  };
  const measure = new ResizeObserver(() => {
    const scale = Math.min(window.devicePixelRatio || 1, 2);
    const size = [picture.clientWidth, picture.clientHeight].map((v) => Math.round(v * scale));
    if (size[0] > 40 && size[1] > 40 && String(size) !== String(model.get("size_px")))
      set("size_px", size);
  });
  const heard = {
    "change:shades": told, "change:optics": shade, "msg:custom": plate, ahead,
    "change:pictures": paint, "change:words": label, "change:busy": wait,
    "change:view": looks, "change:mood": looks, "change:compare": looks, "change:edge": moved,
  };
  for (const [name, does] of Object.entries(heard)) model.on(name, does);
  stage.addEventListener("alone", alone);
  measure.observe(picture);
  label();
  looks();
  wait();
  moved();
  paint();
  if (shader) {
    if (!model.get("shades_itself")) set("shades_itself", true);
    model.send({ do: "open" });
  }
  return () => {
    clearTimeout(slow);
    cancelAnimationFrame(due);
    shader?.close();
    for (const [name, does] of Object.entries(heard)) model.off(name, does);
    measure.disconnect();
  };
}

/** What of a look is seen on the floor: not its tags, nor what may be chosen next. */
function floorOf({ mood, sides }) {
  return JSON.stringify([mood, sides]);
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
