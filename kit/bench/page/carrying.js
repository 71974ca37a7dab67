import { h } from "./dom.js";

/** Give a file to the browser's downloads. */
export function handOver({ name }, [bytes]) {
  const url = URL.createObjectURL(new Blob([bytes], { type: "application/json" }));
  h("a", { href: url, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** Name the job in the page's own address, so that a reload finds it; a notebook has none. */
export function nameInAddress(id) {
  if (!document.body.dataset.voila) return;
  const address = new URL(location.href);
  if (address.searchParams.get("job") === id) return;
  address.searchParams.set("job", id);
  history.replaceState(history.state, "", address);
}
