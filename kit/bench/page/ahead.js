/**
 * What a wish will look like, as a change of the stage's look, or null if only Python
 * can tell: a choice that leaves the pattern alone is shaded before Python hears of it.
 */
export function seenAhead(wish) {
  const every = (change) => (look) => ({ sides: look.sides.map((side, i) => ({ ...side, ...change(side, i) })) });
  switch (wish.do) {
    case "finish":
      return (look) => (look.sides.length > 1 ? {}
        : every(() => ({ finish: wish.finish }))(look));
    case "lay":
      return every((side, i) => (i === (wish.side === "left" ? 0 : 1)
        ? { finish: wish.finish } : side));
    case "pigment":
      return every((side) => ({ pigments: side.pigments.with(wish.place, wish.pigment) }));
    case "tint":
      return every(() => ({ tint: wish.tint }));
    default:
      return null;
  }
}
