"""What the table knows: one frozen Job, its price if it has one, and the way back.

No widgets.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from kit.bench.complaining import Complaint, sentence
from kit.bid.records import Offer
from kit.errors import KitError
from kit.job import Job, Workup, still_signed, workup
from kit.plan import UnfinishedError
from kit.stock import Shelf, read_shelf

STEPS_KEPT = 200
"""How far back undo goes."""

Observer = Callable[["TableState"], None]


@dataclass(frozen=True)
class _Step:
    job: Job
    answers: Workup | None
    lacks: str = ""
    is_told: bool = False
    """Only told of by `TableState.remember`: worked up when it is gone back to."""


class TableState:
    """One job at the table; every change is a new Job, with its price once it has one.

    A job whose rooms are still being measured has no answers yet, and `lacks` says
    why. A choice that makes no sense is refused with a `Complaint`; job, price and
    picture stay as they were.

    Parameters
    ----------
    job : Job
    shelf : Shelf, optional
        The shelf that came with the kit, unless another is given.

    Raises
    ------
    KitError
        If the job makes no sense as it is given.
    """

    def __init__(self, job: Job, shelf: Shelf | None = None) -> None:
        self.shelf = shelf or read_shelf()
        self._now = self._worked_up(job)
        self._before: list[_Step] = []
        self._after: list[_Step] = []
        self._gesture = ""
        self._observers: list[Observer] = []

    @property
    def job(self) -> Job:
        """The job as it now stands."""
        return self._now.job

    @property
    def answers(self) -> Workup | None:
        """All that follows from the job, if it can; the owner's side stays in Python."""
        return self._now.answers

    @property
    def offer(self) -> Offer | None:
        """The price as a client may see it, if there is one yet."""
        return self.answers.offer if self.answers else None

    @property
    def total(self) -> Decimal | None:
        """The price of the whole floor, if there is one yet."""
        return self.offer.total if self.offer else None

    @property
    def lacks(self) -> str:
        """What is missing before there are answers; "" when nothing is."""
        return self._now.lacks

    @property
    def is_moving(self) -> bool:
        """Whether the last change is part of a drag, so that another may follow at once."""
        return bool(self._gesture)

    @property
    def is_fresh(self) -> bool:
        """Whether the job lies there as it was laid, with no choice made since."""
        return not (self._before or self._after)

    @property
    def can_undo(self) -> bool:
        """Whether there is a choice to take back."""
        return bool(self._before)

    @property
    def taken_back(self) -> Job | None:
        """The job that redo would bring back, if there is one."""
        return self._after[-1].job if self._after else None

    @property
    def can_redo(self) -> bool:
        """Whether there is a choice to make again."""
        return bool(self._after)

    def change(
        self, choice: Callable[[Job], Job], *, gesture: str = ""
    ) -> Complaint | None:
        """Make a choice; the price follows before this returns.

        Parameters
        ----------
        choice : callable
            Makes the new Job from the present one; see `kit.bench.choices`.
        gesture : str
            Choices in a row with the same word, such as all places of one drag,
            are one step to undo.

        Returns
        -------
        Complaint or None
            What is wrong with the choice, if it was not taken.
        """
        try:
            job = still_signed(self.job, choice(self.job))
            if job == self.job:
                return None
            step = self._step_to(job)
        except KitError as error:
            return Complaint(error)
        if not (gesture and gesture == self._gesture and self._before):
            self._before = [*self._before[1 - STEPS_KEPT :], self._now]
        self._gesture = gesture
        self._after.clear()
        self._stand_at(step)
        return None

    def take_up(self, job: Job) -> None:
        """Lay another job on the table; nothing done to the one before can be undone.

        Raises
        ------
        KitError
            If it cannot be priced as it is; the one before then still lies there.
        """
        step = self._worked_up(job)
        self._before, self._gesture = [], ""
        self._after.clear()
        self._stand_at(step)

    def undo(self) -> None:
        """Take the last choice back."""
        self._go(self._before, self._after)

    def redo(self) -> None:
        """Make the choice again that was taken back."""
        self._go(self._after, self._before)

    @property
    def steps(self) -> tuple[tuple[Job, ...], tuple[Job, ...]]:
        """Every job that undo leads to, the next one last, and every one of redo's."""
        before = tuple(step.job for step in self._before)
        return before, tuple(step.job for step in self._after)

    def remember(self, before: Sequence[Job], after: Sequence[Job]) -> None:
        """Take over the `steps` of a table on which this same job lay."""
        self._before = [_Step(job, None, is_told=True) for job in before]
        self._after = [_Step(job, None, is_told=True) for job in after]

    def observe(self, observer: Observer) -> Callable[[], None]:
        """Call `observer` after every change; the answer takes it off again."""
        self._observers.append(observer)
        return lambda: self._observers.remove(observer)

    def _go(self, ahead: list[_Step], behind: list[_Step]) -> None:
        if not ahead:
            return
        step = ahead[-1]
        step = self._worked_up(step.job) if step.is_told else step
        ahead.pop()
        behind.append(self._now)
        self._gesture = ""
        self._stand_at(step)

    def _stand_at(self, step: _Step) -> None:
        self._now = step
        for observer in tuple(self._observers):
            observer(self)

    def _step_to(self, job: Job) -> _Step:
        """Work the job up, unless only the pattern changed, which costs the same."""
        recipe = job.recipe.changed(flow=self.job.recipe.flow, seed=self.job.recipe.seed)
        if job.changed(recipe=recipe) == self.job:
            return replace(self._now, job=job)
        return self._worked_up(job)

    def _worked_up(self, job: Job) -> _Step:
        try:
            return _Step(job, workup(job, self.shelf))
        except UnfinishedError as error:
            return _Step(job, None, sentence(error))
