"""One visit at the table: state, stage, frame, gallery and book tied together."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from typing import Any

from kit.bench.complaining import Complaint, beside, sentence
from kit.bench.designs import LAID, figures_of_designs, offer_for, side_of
from kit.bench.face import plex_sans
from kit.bench.faults import Faults
from kit.bench.figures import Shown, figures_of, per_area
from kit.bench.frame import Frame
from kit.bench.gallery import Gallery
from kit.bench.jobs import JobsSide
from kit.bench.lately import Lately
from kit.bench.lock import OwnerLock
from kit.bench.measured import measure_figures
from kit.bench.numbering import Numbers
from kit.bench.owner import OwnersSide
from kit.bench.paper_desk import PaperDesk
from kit.bench.paper_figures import came_off, lacking, unready_at_home
from kit.bench.paper_wishes import paper_wishes
from kit.bench.saving import Offers, Saving, granted
from kit.bench.scenes import Side
from kit.bench.sizes import Sizes
from kit.bench.stage import Stage
from kit.bench.state import TableState
from kit.bench.who import who_figures
from kit.bench.wishes import Wish, choices_of, given
from kit.book import Book, Opened
from kit.errors import SheetError
from kit.job import standing_signature
from kit.plan import FloorPlan

SIGNATURE = "signature"
"""What a notice is about that goes when there is a signature again, or at the next step."""
AGREED = "agreed price"
"""What a notice is about that goes when no signature stands for another price any more."""
PAPER = "paper"
"""What a notice is about that goes when the pages are set, or at the next step."""


class Visit:
    """Everything that one open table holds. Shown in a notebook, it is the table.

    Parameters
    ----------
    state : TableState
    stage : Stage, optional
        With the view and the light that the floor is first seen in.

    Attributes
    ----------
    frame : Frame
        What is drawn; `frame.stage` is the floor in its middle.
    gallery : Gallery
        Makes the pictures.
    """

    def __init__(
        self,
        state: TableState,
        *,
        stage: Stage | None = None,
        faults: Faults | None = None,
        lock: OwnerLock | None = None,
    ) -> None:
        self.state = state
        self.stage = stage or Stage()
        self.frame = Frame(stage=self.stage)
        self.faults = faults or Faults(self.tell)
        hand = ThreadPoolExecutor(1, thread_name_prefix="pictures")
        self.gallery = Gallery(
            self.stage,
            state.shelf,
            tag=self._tag,
            hang=self._hang,
            tell=self.faults.told,
            guarded=self.faults.guarded,
            hand=hand,
        )
        self.saving = Saving(
            state, lambda message, parts: self.frame.send(message, buffers=parts), self.tell
        )
        self.desk = PaperDesk(
            state,
            tell=lambda message, parts: self.frame.send(message, buffers=parts),
            fault=lambda error: self.faults.told(error, about=PAPER),
            mended=lambda: self._hush(PAPER),
            handed=self._handed,
            hand=hand,
            number=self.saving.next_paper,
        )
        self.owner = OwnersSide(
            state, lambda figures: self.frame.send({"owner": figures}), lock
        )
        self.jobs = JobsSide(
            state,
            self.saving,
            self.owner,
            lambda figures: self.frame.send({"jobs": figures}),
        )
        self._sides = {"left": state.job.finish, "right": _opposite(state)}
        self._paper = ""
        self._measured: tuple[tuple[Any, ...], dict[str, Any]] | None = None
        self._numbers = Numbers()
        self._signed = state.job
        self._notices = 0
        self._lately: Lately | None = None
        self._wishes = (
            choices_of(state)
            | paper_wishes(state, self.desk)
            | self.saving.wishes
            | self.jobs.wishes
            | {
                "lay": self._lay,
                "more": self._more,
                "hello": self._hello,
                "face": self._face,
                "owner": self._open_owner,
                "owner_shut": lambda _: self.owner.shut(),
                "owner_off": self._take_off,
            }
        )
        self.faults.watch()
        guarded = self.faults.guarded
        state.observe(guarded(self._follow))
        self.frame.on_msg(guarded(self._hear))
        looks = ["view", "mood", "compare", "size_px"]
        self.stage.observe(guarded(lambda _: self._show()), names=looks)
        self._show()
        self._tell_of_old_price()

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.frame)  # type: ignore[no-untyped-call]

    def kept_in(self, book: Book, opened: Opened, lately: Lately | None = None) -> None:
        """Keep every change of the job that was opened from here on."""
        self.saving.begin(book, opened)
        self._lately = lately
        if lately is not None:
            lately.laid(opened.revision.job_id)
            lately.give_back(self.state, opened.revision.job_id)
            self._show()

    def tell(
        self, words: str, offers: Offers = (), *, passes: bool = False, about: str = ""
    ) -> None:
        """Put a sentence into the banner, with buttons; see `kit.bench.saving.Say`."""
        if not (words or self.frame.notice.get("offers")):
            return
        self._notices += 1
        self.frame.notice = {
            "says": words,
            "offers": [list(offer) for offer in offers],
            "passes": passes,
            "about": about,
            "number": self._notices,
        }

    def _hear(self, _: Frame, wish: Wish, parts: list[bytes]) -> None:
        if wish.get("do") == "ping":
            self.frame.send({"pong": True})
            self.saving.look()
            return
        if parts:
            wish = {**wish, "content": bytes(parts[0])}
        says = nearby = ""
        try:
            grant = self._wishes.get(str(wish.get("do")))
            if grant is None:
                raise SheetError(
                    "wish", found=wish.get("do"), expected="one the table knows"
                )
            if complaint := grant(wish):
                typed = tuple(wish.values())
                says = sentence(complaint.error, typed)
                nearby = beside(complaint.error, typed)
        finally:
            # The page sends its next wish only when this one is answered.
            answer = {"complaint": says, "beside": nearby}
            self.frame.send({"answered": wish.get("number"), **answer})

    def _follow(self, state: TableState) -> None:
        if state.is_fresh:
            self._begin(state)
        self._settle_sides()
        self._paper = ""
        self._show(is_moving=state.is_moving)
        self.desk.follow()
        self._tell_of_signature()
        self.owner.tell()
        self.saving.follow(state)
        if self._lately is not None and self.saving.job_id is not None:
            if state.is_fresh:
                self._lately.laid(self.saving.job_id)
            self._lately.follow(state, self.saving.job_id)

    def _begin(self, state: TableState) -> None:
        """Forget what was shown of the job before: another one lies there now."""
        self._sides = {"left": state.job.finish, "right": _opposite(state)}
        self._signed = state.job
        self.gallery.begin()
        self.desk.begin()
        self._tell_of_old_price()

    def _show(self, *, is_moving: bool = False) -> None:
        """Ask for the picture, which may take longer, and show the price at once."""
        state, answers = self.state, self.state.answers
        plan = answers.plan if answers else None
        laid = self._sides.values() if self.stage.compare else (state.job.finish,)
        sides = tuple(side_of(state.job, key) for key in laid)
        self.gallery.follow(state.job, plan, sides, is_moving=is_moving)
        figures = figures_of(
            state.job,
            Shown.of(answers) if answers else None,
            state.shelf,
            can_undo=state.can_undo,
            can_redo=state.can_redo,
        )
        figures["lacks"] = state.lacks
        figures["measure"] = self._measure(plan)
        figures["who"] = who_figures(state.job)
        figures["paper"]["caution"] = self._numbers.caution(
            state.job.number, self.saving.book, self.saving.job_id
        )
        figures["compared"] = dict(self._sides)
        figures["designs"] = figures_of_designs(state.job, state.shelf)
        if answers:
            figures["stations"]["paper"] = self._paper or self._paper_words()
        figures["head"]["is_locked"] = self.owner.lock.is_set
        self.frame.figures = figures
        finishes = (Side(state.job.recipe, f.key) for f in state.shelf.finishes)
        self.stage.words = dict(self._tag(side) for side in (*finishes, *sides))

    def _measure(self, plan: FloorPlan | None) -> dict[str, Any]:
        """What is measured, drawn anew only when it was measured anew: not for a knob."""
        of = (self.state.job.site, plan, self.state.lacks, self.state.job.paper.units)
        if self._measured is None or any(
            a is not b for a, b in zip(of, self._measured[0], strict=True)
        ):
            self._measured = of, measure_figures(self.state.job, plan, self.state.lacks)
        return self._measured[1]

    def _lay(self, wish: Wish) -> Complaint | None:
        side, finish = str(wish.get("side")), str(wish.get("finish"))
        if side not in self._sides:
            raise SheetError("side", found=side, expected="the left or the right side")
        kept = {LAID + design.name for design in self.state.job.designs}
        if finish not in kept:
            finish = self.state.shelf.finish(finish, about="finish").key
        self._sides[side] = finish
        self._show()
        return None

    def _settle_sides(self) -> None:
        """Take from the edge what is kept no more; have the chosen finish by it."""
        job = self.state.job
        kept = {LAID + design.name for design in job.designs}
        for side, key in self._sides.items():
            if key.startswith(LAID) and key not in kept:
                self._sides[side] = job.finish
        laid = self._sides.values()
        if job.finish not in laid and not any(key.startswith(LAID) for key in laid):
            self._sides["left"] = job.finish

    def _more(self, _: Wish) -> None:
        self.gallery.four_more()

    def _open_owner(self, wish: Wish) -> Complaint | None:
        given_ = str(wish.get("passphrase", "")), str(wish.get("again", ""))
        return granted(lambda: self.owner.open(*given_))

    def _take_off(self, wish: Wish) -> Complaint | None:
        if not self.owner.is_open:
            raise SheetError("discount", found="a shut owner's side", expected="it open")
        return granted(lambda: self.owner.take_off(given(wish, "percent", float)))

    def _hello(self, wish: Wish) -> None:
        self.owner.shut()
        self.jobs.shut()
        before = self.frame.notice
        self.saving.greet(str(wish.get("came", "")))
        if before.get("says") and before is not self.frame.notice:
            both = f"{self.frame.notice['says']} {before['says']}"
            self.tell(both, before["offers"], about=before.get("about", ""))

    def _face(self, _: Wish) -> None:
        self.frame.send({"face": True}, buffers=[plex_sans()])

    def _tag(self, side: Side) -> tuple[str, str]:
        """Name and price of a side, for its tag on the stage."""
        offer = self.state.offer
        name = self.state.shelf.finish(side.finish).name
        name = f"{side.name}, {name.lower()}" if side.name else name
        if side.name:
            offer = offer_for(self.state.job, side, self.state.shelf)
        if offer is None:
            return name, ""
        option = next(o for o in offer.options if o.finish == side.finish)
        sizes = Sizes.of(self.state.job)
        each = per_area(option.total, offer, sizes)
        return name, f"{each} {sizes.measures.per_area}"

    def _hang(self, pours: list[dict[str, Any]], kept: list[dict[str, Any]]) -> None:
        self.frame.pours, self.frame.kept = pours, kept

    def _handed(self, pdf: bytes) -> None:
        self._paper = "PDF saved"
        self._show()
        self.saving.handed_out(pdf)

    def _paper_words(self) -> str:
        state = self.state
        if state.offer and standing_signature(state.job, state.offer):
            return "signed"
        lacks = lacking(state.job, state.offer, state.shelf)
        if lacks:
            return "to fill in"
        is_unready = unready_at_home(state.job, state.offer, state.shelf)
        return "ready, not yet to sign" if is_unready else "ready to save"

    @property
    def _is_signed_otherwise(self) -> bool:
        """Whether what was signed is not the floor as it stands."""
        job, offer = self.state.job, self.state.offer
        return bool(job.signed and not (offer and standing_signature(job, offer)))

    def _tell_of_old_price(self) -> None:
        if self._is_signed_otherwise:
            self.tell(
                "The price is another one now than was signed, so it is to be signed anew.",
                about=AGREED,
            )

    def _tell_of_signature(self) -> None:
        """Say so when a change took the signature off, until there is one again."""
        before, now = self._signed, self.state.job
        self._signed = now
        if words := came_off(before, now, is_taken_back=self.state.taken_back is before):
            self.tell(words, about=SIGNATURE)
        elif now.signed:
            self._hush(SIGNATURE)
        if not self._is_signed_otherwise:
            self._hush(AGREED)

    def _hush(self, about: str) -> None:
        """Take from the banner what is said of a matter that is mended."""
        if self.frame.notice.get("about") == about:
            self._notices += 1
            self.frame.notice = {"says": "", "about": about, "number": self._notices}


def _opposite(state: TableState) -> str:
    """The finish whose gloss is furthest from the chosen one."""
    chosen = state.shelf.finish(state.job.finish)
    others = [finish for finish in state.shelf.finishes if finish.key != chosen.key]
    return max(others, key=lambda f: abs(f.gloss_gu - chosen.gloss_gu), default=chosen).key
