import { h, icon, put, say } from "./dom.js";

const MOST = 4;

/** Kept designs as small pictures; a touch opens one to take up, rename or let go. */
export function keptStrip({ ask, model, onopen, onshut }) {
  const list = h("div", { class: "pours kept", role: "group", "aria-label": "Kept designs" });
  const keep = h("button", { type: "button", class: "bare wide", onclick: () => ask({ do: "keep" }) },
    icon("plus"), "Keep this pour");
  const none = h("p", { class: "soft" }, "Keep up to four floors here to come back to, or to lay side by side under Sheen.");
  const el = h("div", { class: "stack again" },
    h("div", { class: "title" }, h("h3", {}, "Kept designs"), keep), list, none);
  const urls = new Map();
  let figures = null;
  const asked = (design) => (design.per_sqft ? `${design.per_sqft} ${figures.units.per_area}` : "no price yet");

  function pictures() {
    for (const url of urls.values()) URL.revokeObjectURL(url);
    urls.clear();
    for (const { name, picture } of model.get("kept"))
      urls.set(name, URL.createObjectURL(new Blob([picture], { type: "image/jpeg" })));
    if (figures) draw(figures);
  }

  function card(design, place) {
    const url = urls.get(design.name);
    return h("div", { class: "card" },
      h("button", { type: "button", "aria-pressed": String(design.is_shown),
        "aria-label": `${design.name}, ${design.finish}, ${asked(design)}. Open it`,
        onclick: () => onopen(opened(place)) }, h("img", { alt: "", draggable: "false", src: url ?? null })),
      h("b", {}, design.name), h("span", { class: "soft" }, design.per_sqft));
  }

  /** One design by itself, in place of the panel. */
  function opened(place) {
    const design = figures.designs[place];
    const back = () => onshut(list.children[place]?.querySelector("button") ?? keep);
    const field = h("input", { id: "design-name", type: "text", autocomplete: "off", maxlength: 80, ".value": design.name });
    const says = h("p", { class: "says", role: "alert" });
    const renamed = (event) => {
      event.preventDefault();
      const name = field.value.trim();
      if (!name) return say(says, "A design needs a name of at least one letter.");
      ask({ do: "rename", place, name }, "", (complaint) => {
        if (complaint) say(says, complaint);
        else back();
      });
    };
    const picture = h("img", { class: "large", alt: `A piece of ${design.name} from above`, src: urls.get(design.name) ?? null });
    return h("div", { class: "stack design" },
      h("div", { class: "title" }, h("h2", {}, design.name),
        h("button", { type: "button", class: "bare wide", onclick: back }, icon("left"), "Back")),
      picture,
      h("p", {}, `${design.finish}, ${asked(design)}, `, h("span", { class: "soft" },
        design.is_shown ? "the floor shown now"
          : design.difference && `${design.difference} compared with the floor shown now`)),
      h("button", { type: "button", class: "main", disabled: design.is_shown,
        onclick: () => { ask({ do: "take_up", place }); back(); } }, "Use this design"),
      h("form", { class: "naming", onsubmit: renamed }, h("label", { for: "design-name" }, "Name"), field,
        h("button", { type: "submit", class: "quiet" }, "Rename")), says,
      h("div", { class: "grow" }),
      h("button", { type: "button", class: "quiet", onclick: () => { ask({ do: "drop", place }); onshut(keep); } },
        "Remove this design"));
  }

  function draw(given) {
    figures = given;
    list.replaceChildren(...figures.designs.map(card));
    none.hidden = figures.designs.length > 0;
    keep.disabled = figures.designs.length >= MOST || figures.designs.some((d) => d.is_as_kept);
    put(keep, { title: figures.designs.length >= MOST ? "Four designs are the most one job keeps" : "" });
  }

  model.on("change:kept", pictures);
  pictures();
  return {
    el, draw,
    close: () => {
      model.off("change:kept", pictures);
      for (const url of urls.values()) URL.revokeObjectURL(url);
    },
  };
}

