const SEEN = "pourtable-seen";
const LOOKS = ["view", "mood", "edge"];
const job = () => new URL(location.href).searchParams.get("job") ?? "";

/** What lies either side of the edge and how the floor is looked at, for a page loaded again. */
export function seenBefore({ stage, ask }) {
  const before = read();

  function read() {
    try {
      return JSON.parse(sessionStorage.getItem(SEEN)) ?? {};
    } catch {
      return {};
    }
  }

  function keep({ compared }) {
    const looks = Object.fromEntries(LOOKS.map((name) => [name, stage.get(name)]));
    sessionStorage.setItem(SEEN, JSON.stringify({ job: job(), compared, looks }));
  }

  /** Lay it all as it was, if it is the same job; what is kept no more is left as it is. */
  function restore({ compared }) {
    if (!before.job || before.job !== job()) return;
    for (const [side, finish] of Object.entries(before.compared))
      if (finish !== compared[side]) ask({ do: "lay", side, finish }, "", () => {});
    for (const name of LOOKS) stage.set(name, before.looks[name]);
    stage.save_changes();
  }

  return { keep, restore };
}
