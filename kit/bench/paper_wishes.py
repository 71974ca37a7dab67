"""What the page may ask of the paper, each wish tied to its choice or to the desk."""

from __future__ import annotations

import datetime
from collections.abc import Callable

from kit.bench import paper_choices as choices
from kit.bench.brand import taken_in, with_accent, with_file, with_language, with_units
from kit.bench.complaining import Complaint
from kit.bench.paper_desk import PaperDesk
from kit.bench.state import TableState
from kit.bench.wishes import Granted, Wish, given
from kit.errors import KitError, SheetError
from kit.job import Job


def paper_wishes(state: TableState, desk: PaperDesk) -> dict[str, Granted]:
    """Every wish of the paper's step."""
    known = tuple(finish.key for finish in state.shelf.finishes)

    def choice(make: Callable[[Job, Wish], Job]) -> Granted:
        return lambda wish: state.change(lambda job: make(job, wish))

    def sign(job: Job, wish: Wish) -> Job:
        if (offer := state.offer) is None:
            raise SheetError("price", found="none yet", expected="walls that close")
        return choices.signed_by(
            job,
            given(wish, "name", str),
            wish.get("strokes"),
            total=offer.total,
            day=datetime.date.today(),
            width_over_height=given(wish, "ratio", float),
            typed=wish.get("typed") is True,
        )

    def brand(wish: Wish) -> Complaint | None:
        kind, content = given(wish, "kind", str), wish.get("content", b"")
        try:
            path = taken_in(state.job, kind, given(wish, "name", str), content)
        except KitError as error:
            return Complaint(error)
        return state.change(lambda job: with_file(job, kind, str(path)))

    def look(wish: Wish) -> Complaint | None:
        desk.look(wish.get("on") is True)
        return None

    def save(_: Wish) -> Complaint | None:
        desk.save()
        return None

    return {
        "fill": choice(
            lambda job, wish: choices.with_words(
                job, given(wish, "field", str), given(wish, "text", str)
            )
        ),
        "page": choice(lambda job, wish: choices.with_page(job, given(wish, "page", str))),
        "language": choice(
            lambda job, wish: with_language(job, given(wish, "language", str))
        ),
        "units": choice(lambda job, wish: with_units(job, given(wish, "units", str))),
        "accent": choice(lambda job, wish: with_accent(job, given(wish, "color", str))),
        "brand": brand,
        "brand_off": choice(lambda job, wish: with_file(job, given(wish, "kind", str), "")),
        "sale_at": choice(
            lambda job, wish: choices.with_sale_at(job, given(wish, "at", str))
        ),
        "priced": choice(
            lambda job, wish: choices.with_priced(
                job, given(wish, "finish", str), wish.get("on") is True, known
            )
        ),
        "design_shown": choice(
            lambda job, wish: choices.with_design_shown(
                job, given(wish, "name", str), wish.get("on") is True
            )
        ),
        "sign": choice(sign),
        "unsign": choice(lambda job, _: choices.unsigned(job)),
        "pages": look,
        "paper": save,
    }
