import { h, icon, put, say } from "./dom.js";

/** What the proposal will say, and its PDF. */
export function paperPanel({ ask }) {
  const until = h("p", { class: "soft" });
  const checks = h("ul", { class: "checks" });
  const sum = h("p", { class: "sum" });
  const state = h("p", { class: "soft", role: "status" });
  const save = h("button", { type: "button", class: "main", onclick: () => start() },
    icon("save"), h("span", {}, "Save the PDF"));
  const el = h("div", { class: "stack" },
    h("div", { class: "title" }, h("h2", {}, "Paper")), until, checks,
    h("div", { class: "grow" }), sum, state, save);

  function busy(is) {
    save.disabled = is;
    put(save, { "aria-busy": String(is) });
    say(save.querySelector("span"), is ? "Setting the pages…" : "Save the PDF");
  }

  function start() {
    busy(true);
    say(state, "The pictures are drawn for print first; this takes a moment.");
    ask({ do: "paper" });
  }

  function received({ paper }, buffers) {
    busy(false);
    if (!buffers?.length) {
      say(state, paper.says);
      return;
    }
    const url = URL.createObjectURL(new Blob([buffers[0]], { type: "application/pdf" }));
    h("a", { href: url, download: paper.name }).click();
    setTimeout(() => URL.revokeObjectURL(url), 60_000);
    say(state, `${paper.name} is in your downloads.`);
  }

  function draw({ paper, price }) {
    say(until, paper.until);
    checks.replaceChildren(...paper.checks.map((check) =>
      h("li", { class: check.ok ? "ok" : "watch" },
        icon(check.ok ? "check" : "warn"), h("span", {}, check.says))));
    say(sum, `For ${paper.for} at ${price.total}`);
  }

  return { el, draw, received, name: "Paper" };
}
