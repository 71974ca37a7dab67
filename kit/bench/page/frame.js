import { seenAhead } from "./ahead.js";
import { bothSide } from "./both.js";
import { colorPanel } from "./color.js";
import { flowPanel } from "./flow.js";
import { head, howItCame } from "./head.js";
import { handOver, nameInAddress } from "./carrying.js";
import { jobsSide } from "./jobs.js";
import { ownerDoor, ownerPanel } from "./owner.js";
import { paperPanel } from "./paper.js";
import { pricePanel } from "./price.js";
import { roomsPanel } from "./rooms.js";
import { pageSheets } from "./sheets.js";
import { sheenPanel } from "./sheen.js";
import { sidesBefore } from "./sides.js";
import { tape } from "./tape.js";
import { h, put } from "./dom.js";
import { listen, wire } from "./wire.js";

const PANELS = {
  rooms: roomsPanel,
  color: colorPanel,
  flow: flowPanel,
  sheen: sheenPanel,
  price: pricePanel,
  paper: paperPanel,
};

const FACE = "IBM Plex Sans";
const STATION = "pourtable-station";

/** Use the typeface that Python sent; the page without code brings it along itself. */
function wear(bytes) {
  const face = new FontFace(FACE, bytes, { weight: "100 700", stretch: "75% 100%" });
  face.load().then((ready) => document.fonts.add(ready));
}

/** Undo or redo by its keys, unless they are meant for the words of a field. */
function stepOf(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return "";
  if (event.target.closest("input:not([type=range]), textarea, select, dialog")) return "";
  const key = event.key.toLowerCase();
  if (key === "y") return "redo";
  return key === "z" ? (event.shiftKey ? "redo" : "undo") : "";
}

/** Draw the whole table around its stage. */
async function render({ model, el }) {
  const line = wire(model);
  const stage = await model.widget_manager.get_model(model.get("stage").slice(10));
  const stageView = await model.widget_manager.create_view(stage);

  /** Show what a wish will look like, and carry it to Python. */
  function ask(wish, key, onsaid) {
    const change = typeof wish === "function" ? null : seenAhead(wish);
    if (change) stage.trigger("ahead", change);
    line.ask(wish, key, onsaid);
  }

  const panels = Object.fromEntries(
    Object.entries(PANELS).map(([name, make]) => [name, make({ ask, stage, model })]),
  );
  const door = ownerDoor({ ask: line.ask });
  const owner = ownerPanel({ ask: line.ask });
  const top = head({ ask: line.ask, onreload: () => location.reload(), onlost: silent,
    onjobs: () => (isListing ? line.ask({ do: "jobs_shut" }) : isOwners ? line.ask({ do: "jobs" }) : door.knock("jobs")),
    onowner: () => (isListing ? line.ask({ do: "jobs_shut" }) : isOwners ? line.ask({ do: "owner_shut" }) : door.knock()) });
  const bottom = tape({ ongo: go });
  const jobs = jobsSide({ ask: line.ask });
  const both = bothSide({ ask: line.ask });
  const { board } = panels.rooms;
  const sheets = pageSheets({ ask: line.ask });
  const sides = sidesBefore({ ask: line.ask });
  const floor = h("section", { class: "floor", "aria-label": "The floor" },
    h("div", { class: "slot" }, stageView.el), board.el, sheets.el);
  const panel = h("section", { class: "panel", tabindex: "-1", onscroll: showMore });
  const body = h("main", { class: "body" }, floor, panel);
  const root = h("div", { class: "pt frame" }, top.el, top.banner, body, jobs.el, bottom.el, door.el, both.el);
  el.append(h("div", { class: "table-room" }, root));

  let station = "";
  let isOwners = false;
  let isListing = false;

  function lay(name, shown) {
    root.dataset.station = name;
    stage.set("compare", name === "sheen");
    stage.save_changes();
    panel.replaceChildren(shown.el);
    sizes.disconnect();
    for (const one of [panel, shown.el]) sizes.observe(one);
    panel.setAttribute("aria-label", shown.name);
    panel.scrollTop = 0;
  }

  function go(name) {
    standAlone(false);
    if (isOwners) line.ask({ do: "owner_shut" });
    if (isListing) line.ask({ do: "jobs_shut" });
    if (name === station) return;
    top.leave();
    station = name;
    sessionStorage.setItem(STATION, name);
    lay(name, panels[name]);
    bottom.mark(name);
    panels[name].draw(model.get("figures"));
    panels[name].enter?.();
    sheets.look(name === "paper");
  }

  function draw() {
    const figures = model.get("figures");
    if (!figures.price) return;
    top.draw(figures);
    bottom.draw(figures);
    board.draw(figures);
    sheets.draw(figures);
    door.draw(figures);
    if (!isOwners) panels[station].draw(figures);
    sides.keep(figures);
  }

  /** Whose floor it is, as it is typed. */
  const typed = ({ target }) => target.dataset.heads && top.called(target.dataset.heads, target.value);

  /** Show the owner's side, or take every figure of it out of the page again. */
  function ownersSide(figures) {
    if (!figures && !isOwners) return;
    if (Boolean(figures) !== isOwners) {
      isOwners = Boolean(figures);
      top.leave();
      root.classList.toggle("owners", isOwners);
      standAlone(false);
      door.shut();
      owner.forget();
      lay(isOwners ? "owner" : station, isOwners ? owner : panels[station]);
      if (!isOwners) panels[station].draw(model.get("figures"));
      panel.focus();
    }
    if (figures) owner.draw(figures);
  }

  /** Show the list of jobs over the floor, or take every name of it out of the page again. */
  function listSide(figures) {
    if (!figures && !isListing) return;
    const opens = figures && !isListing;
    isListing = Boolean(figures);
    root.classList.toggle("owners", isListing || isOwners);
    root.classList.toggle("listing", isListing);
    body.inert = isListing;
    if (opens) door.shut();
    if (figures) jobs.draw(figures);
    else jobs.forget();
    if (opens) jobs.enter();
    if (!figures) top.el.querySelector(".jobs-door").focus();
  }

  /** Another job lies on the table: begin at its first step, with nothing open of the last. */
  function laid(id) {
    nameInAddress(id);
    station = "";
    for (const one of Object.values(panels)) one.begin?.();
    go(model.get("figures").price.plain ? "color" : "rooms");
  }

  function silent(since) {
    if (since) ownersSide(null);
    if (since) listSide(null);
    root.classList.toggle("lost", Boolean(since));
    panel.inert = Boolean(since);
    bottom.asOf(since);
  }

  function standAlone(is) {
    if (root.classList.contains("alone") === is) return;
    root.classList.toggle("alone", is);
    floor.querySelector(".stage").dispatchEvent(new CustomEvent("alone", { detail: is }));
  }

  function showMore() {
    const below = panel.scrollHeight - panel.clientHeight - panel.scrollTop;
    panel.classList.toggle("more", below > 2);
    put(panel, { tabindex: below + panel.scrollTop > 2 ? "0" : "-1" });
  }

  const floorOnly = () => standAlone(!root.classList.contains("alone"));
  const keyed = (event) => {
    if (event.key === "Escape" && root.classList.contains("alone")) standAlone(false);
    const step = stepOf(event);
    if (!step) return;
    event.preventDefault();
    ask({ do: step });
  };
  const sizes = new ResizeObserver(showMore);

  const warn = () => top.warn(model.get("notice"));
  const told = (message, buffers) => {
    if ("owner" in message) ownersSide(message.owner);
    if ("jobs" in message) listSide(message.jobs);
    if ("both" in message) both.draw(message.both);
    if (message.laid) laid(message.laid);
    if (message.job) nameInAddress(message.job);
    if (message.file) handOver(message.file, buffers);
    if (message.complaint) {
      stage.trigger("ahead", null);
      top.draw(model.get("figures"));
    }
    if (message.complaint && door.el.open) door.refuse(message.complaint);
    else if (message.complaint && !message.taken) top.warn({ says: message.complaint, number: message.answered, about: message.matter });
    else if (message.answered && !message.complaint) top.mended(message.matter);
    if (message.saved) top.saved(message.saved);
    if (message.face) wear(buffers[0]);
    if (message.pages) {
      sheets.received(message.pages, buffers);
      panels.paper.pages(message.pages);
    }
    if (message.paper) panels.paper.received(message, buffers);
  };
  model.on("change:figures", draw);
  model.on("change:notice", warn);
  model.on("msg:custom", told);
  root.addEventListener("input", typed);
  floor.addEventListener("flooronly", floorOnly);
  document.addEventListener("keydown", keyed);
  const stopListening = listen(model, top.lost, top.back);

  const came = howItCame();
  const before = came === "open" ? "" : sessionStorage.getItem(STATION);
  go(before in panels ? before : model.get("figures").price.plain ? "color" : "rooms");
  draw();
  warn();
  line.ask({ do: "hello", came });
  if (came !== "open") sides.restore(model.get("figures"));
  if (![...document.fonts].some((font) => font.family.includes(FACE))) line.ask({ do: "face" });
  return () => {
    stopListening();
    line.close();
    sizes.disconnect();
    document.removeEventListener("keydown", keyed);
    model.off("change:figures", draw);
    model.off("change:notice", warn);
    model.off("msg:custom", told);
    for (const one of Object.values(panels)) one.close?.();
    stageView.remove();
  };
}

export default { render };
