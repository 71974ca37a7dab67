import { h, icon, put } from "./dom.js";

/** The same colors poured again: small pictures of other seeds. */
export function poursStrip({ ask, model }) {
  const list = h("div", { class: "pours", role: "group", "aria-label": "Other pours" });
  const more = h("button", { type: "button", class: "bare wide", onclick: () => { wait(); ask({ do: "more" }); } },
    icon("plus"), "Four more");
  const el = h("div", { class: "stack again" },
    h("div", { class: "title" }, h("h3", {}, "Same colors, poured again"), more), list);
  const urls = [];
  let seed = null;

  /** Four empty places, or those that hang there faded, until others are poured. */
  function wait() {
    list.classList.add("awaited");
    list.setAttribute("aria-busy", "true");
    if (!list.childElementCount) list.append(...[1, 2, 3, 4].map(() => h("span", { class: "place" })));
  }

  function fill() {
    if (!model.get("pours").length) return wait();
    list.classList.remove("awaited");
    list.removeAttribute("aria-busy");
    urls.splice(0).forEach((url) => URL.revokeObjectURL(url));
    list.replaceChildren(...model.get("pours").map((pour, i) => {
      const img = h("img", { alt: "", draggable: "false" });
      if (pour.picture.byteLength) {
        urls.push(URL.createObjectURL(new Blob([pour.picture], { type: "image/jpeg" })));
        img.src = urls.at(-1);
      }
      return h("button", {
        type: "button", "data-seed": pour.seed, "aria-label": `Pour ${i + 1} of 4`,
        onclick: () => ask({ do: "seed", seed: pour.seed }),
      }, img);
    }));
    mark();
  }

  function mark() {
    const buttons = [...list.querySelectorAll("button")];
    const at = buttons.findIndex((b) => Number(b.dataset.seed) === seed);
    buttons.forEach((b, i) => put(b, { "aria-pressed": String(i === at) }));
  }

  model.on("change:pours", fill);
  fill();
  return {
    el,
    draw: (figures) => { seed = figures.seed; mark(); },
    close: () => {
      model.off("change:pours", fill);
      urls.forEach((url) => URL.revokeObjectURL(url));
    },
  };
}
