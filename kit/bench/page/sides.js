const SEEN = "pourtable-sides";
const job = () => new URL(location.href).searchParams.get("job") ?? "";

/** What lies either side of the edge, for a page that is loaded again. */
export function sidesBefore({ ask }) {
  const before = read();

  function read() {
    try {
      return JSON.parse(sessionStorage.getItem(SEEN)) ?? {};
    } catch {
      return {};
    }
  }

  function keep({ compared }) {
    sessionStorage.setItem(SEEN, JSON.stringify({ job: job(), compared }));
  }

  /** Lay it as it was, if it is the same job; what is kept no more is left as it is. */
  function restore({ compared }) {
    if (!before.job || before.job !== job()) return;
    for (const [side, finish] of Object.entries(before.compared))
      if (finish !== compared[side]) ask({ do: "lay", side, finish }, "", () => {});
  }

  return { keep, restore };
}
