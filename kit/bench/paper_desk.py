"""The paper's desk: keeps the pages on the screen up to date, and hands over the PDF."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Any

from kit.bench.painter import Painter, later
from kit.bench.paper_figures import lacking, missing
from kit.bench.papers import Paper, make_paper
from kit.bench.print_looks import Darkroom
from kit.bench.state import TableState
from kit.book import FIRST, NextPaper
from kit.job import Job, Workup

SETTLES_S = 0.5
"""Changes this close together are set once."""
SKETCH = 0.3
"""Size of a sketch's pictures against those of print."""
NOT_MADE = "The PDF was not made; see above."


@dataclass(frozen=True)
class Order:
    """One wish for the press."""

    job: Job
    answers: Workup
    is_sketch: bool
    number: NextPaper = FIRST


class PaperDesk:
    """Set the pages when somebody looks at them, and again when the job has changed.

    The first pages come with small pictures, soon, and are called sketches; those
    that follow are the PDF's own.

    Parameters
    ----------
    state : TableState
    tell : callable
        Takes a message for the page, and what belongs to it in bytes.
    fault : callable
        Takes what the press failed with.
    handed : callable
        Called with the PDF of the present job when that was handed over.
    hand : ThreadPoolExecutor
        The one worker that every picture and paper is made by.
    number : callable
        Tells which paper of the job the next one is.
    mended : callable
        Called when the pages of the present job are set, so that no fault stands.
    """

    def __init__(
        self,
        state: TableState,
        *,
        tell: Callable[[dict[str, Any], list[bytes]], None],
        fault: Callable[[Exception], None],
        handed: Callable[[bytes], None],
        hand: ThreadPoolExecutor,
        number: Callable[[], NextPaper] = lambda: FIRST,
        mended: Callable[[], None] = lambda: None,
    ) -> None:
        self._state = state
        self._tell = tell
        self._fault = fault
        self._handed = handed
        self._number = number
        self._mended = mended
        self._darkroom = Darkroom(state.shelf)
        self._press = Painter[Order](self._pressed, self._show, self._failed, hand=hand)
        self._is_looked_at = False
        self._owes = False
        self._asked: Order | None = None
        self._made: tuple[Job, Paper] | None = None
        self._shown: Job | None = None

    def begin(self) -> None:
        """Forget the pages of the job before, owed or made: another one lies there now."""
        self._press.forget()
        self._owes = False
        self._asked = self._made = self._shown = None
        self._tell({"pages": {"count": 0}}, [])
        self._tell({"paper": {"says": ""}}, [])

    def look(self, is_looked_at: bool) -> None:
        """Begin to show the pages, or stop."""
        self._is_looked_at = is_looked_at
        if is_looked_at:
            if self._shown not in (None, self._state.job):
                self._tell({"pages": {"stale": True}}, [])
            self._want()

    def follow(self) -> None:
        """Set the pages anew once the job has settled, if anybody looks at them."""
        if not self._is_looked_at and not self._owes:
            return
        self._tell({"pages": {"stale": True}}, [])
        job = self._state.job
        later(SETTLES_S, lambda: self._want() if self._state.job is job else None)

    def save(self) -> None:
        """Hand over the PDF of the job as it stands, as soon as it is set."""
        if lacks := self._lacks():
            self._tell({"paper": {"says": missing(lacks)}}, [])
            return
        self._owes = True
        self._want()

    def _lacks(self) -> list[dict[str, Any]]:
        return lacking(self._state.job, self._state.offer, self._state.shelf)

    async def settled(self) -> None:
        """Wait until the press stands still."""
        await self._press.settled()

    def _want(self) -> None:
        job, answers = self._state.job, self._state.answers
        if answers is None or self._lacks():
            self._asked = None
            self._tell({"pages": {"count": 0}}, [])
            return
        if self._made and self._made[0] == job:
            self._give(job, self._made[1], is_sketch=False)
            return
        # while only words change the pictures of print are at hand: no sketch in between
        is_sketch = not self._owes and not (self._made and _alike(self._made[0], job))
        order = Order(job, answers, is_sketch, self._number())
        if order != self._asked:
            self._asked = order
            self._press.want(order)

    def _pressed(self, order: Order) -> Paper:
        poured = self._darkroom.looks(
            order.answers.plan, scale=SKETCH if order.is_sketch else 1.0, go_on=self._go_on
        )
        paper = make_paper(
            order.job, order.answers, self._state.shelf, poured, order.number
        )
        if not order.is_sketch:
            self._darkroom.forget_others()
        return paper

    def _go_on(self) -> None:
        if self._press.has_newer or not (self._is_looked_at or self._owes):
            raise _NotWantedError

    def _show(self, order: Order, paper: Paper) -> None:
        if order == self._asked:
            self._asked = None
        if order.job != self._state.job and self._shown == self._state.job:
            return  # one has gone back to the job whose pages lie there
        if not order.is_sketch:
            self._made = (order.job, paper)
        self._give(order.job, paper, is_sketch=order.is_sketch)
        if order.is_sketch and order.job == self._state.job:
            self._asked = replace(order, is_sketch=False)
            self._press.want(self._asked)

    def _give(self, job: Job, paper: Paper, *, is_sketch: bool) -> None:
        is_now = job == self._state.job
        if is_now:
            self._mended()
        if self._is_looked_at:
            about = {"count": len(paper.pages), "sketch": is_sketch, "stale": not is_now}
            self._tell({"pages": about}, list(paper.pages))
            self._shown = job
        if self._owes and is_now and not is_sketch:
            self._owes = False
            self._tell({"paper": {"name": paper.name}}, [paper.pdf])
            self._handed(paper.pdf)

    def _failed(self, error: Exception) -> None:
        if not self._press.has_newer:
            self._asked = None
        if isinstance(error, _NotWantedError):
            if not self._press.has_newer and (self._is_looked_at or self._owes):
                self._want()  # wanted again before the press had stopped
            return
        if self._owes:
            self._owes = False
            self._tell({"paper": {"says": NOT_MADE}}, [])
        self._tell({"pages": {"says": "The pages were not set; see above."}}, [])
        self._fault(error)


def _alike(one: Job, other: Job) -> bool:
    """Whether the pages of two jobs show the same pictures."""

    def pictured(job: Job) -> object:
        return job.recipe, job.finish, job.designs, job.paper, job.site.rooms

    return pictured(one) == pictured(other)


class _NotWantedError(Exception):
    """A newer wish waits, or nobody looks any more."""
