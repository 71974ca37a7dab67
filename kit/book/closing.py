"""Closing a job: what it was worked out to take beside what it took."""

from __future__ import annotations

import datetime
from collections import defaultdict
from dataclasses import dataclass
from math import fsum
from typing import TYPE_CHECKING

from kit.book.facts import Closed, CoatUsed, TaskDone

if TYPE_CHECKING:
    from kit.job import Workup
    from kit.stock import Shelf


@dataclass(frozen=True)
class Held:
    """One figure as it was worked out and as it came; the owner's both.

    Parameters
    ----------
    about : str
    unit : str
        Of both: ``h``, ``l``, ``µm``, ``d``, a currency, or nothing for a share.
    estimate : float or None
        None where the estimate knew nothing of it.
    actual : float or None
        None where nobody told.
    """

    about: str
    unit: str
    estimate: float | None
    actual: float | None

    @property
    def ratio(self) -> float | None:
        """Actual over estimate, where both are there and the estimate is something."""
        if self.actual is None or not self.estimate:
            return None
        return self.actual / self.estimate


def as_estimated(
    answers: Workup, shelf: Shelf, *, day: datetime.date, crew: str = ""
) -> Closed:
    """Tell a job as if it had taken what was worked out, to be corrected by its owner.

    Parameters
    ----------
    answers : Workup
    shelf : Shelf
        By which it was worked up.
    day : date
        On which it is closed.
    crew : str
        Who did it; blank is the usual crew.
    """
    rates = {task.key: task.per_person_h for task in shelf.tasks}
    for extra in answers.system.extras:
        rates |= {task.key: task.per_person_h for task in extra.tasks}
    tasks = tuple(
        TaskDone(
            task=task.key,
            crew=crew,
            units=round(task.labor_h * rates[task.key], 3),
            labor_h=round(task.labor_h, 2),
        )
        for task in answers.work.tasks
        if task.key in rates and task.labor_h >= 0.01
    )
    coats = tuple(
        CoatUsed(
            coat=coat.kind,
            area_m2=round(coat.area_m2 * coat.passes, 2),
            used_l=round(coat.volume_l, 2),
            film_um=coat.film_um,
        )
        for coat in answers.system.coats
        if coat.volume_l >= 0.01
    )
    return Closed(
        day=day, tasks=tasks, coats=coats, days=answers.work.days, cost=answers.bid.cost
    )


def held_against(answers: Workup, closed: Closed) -> tuple[Held, ...]:
    """Lay what a job took beside what was worked out: hours, material, days, cost."""
    return (*_hours(answers, closed), *_coats(answers, closed), *_whole(answers, closed))


def _hours(answers: Workup, closed: Closed) -> list[Held]:
    done: dict[str, float] = defaultdict(float)
    for task in closed.tasks:
        done[task.task] += task.labor_h
    rows = [
        Held(task.name, "h", task.labor_h, done.pop(task.key, None))
        for task in answers.work.tasks
    ]
    rows += [Held(key.replace("_", " "), "h", None, hours) for key, hours in done.items()]
    told = fsum(task.labor_h for task in closed.tasks) if closed.tasks else None
    return [*rows, Held("Person-hours", "h", answers.work.crew_hours, told)]


def _coats(answers: Workup, closed: Closed) -> list[Held]:
    used: dict[str, list[CoatUsed]] = defaultdict(list)
    for coat in closed.coats:
        used[coat.coat].append(coat)
    rows: list[Held] = []
    for planned in answers.system.coats:
        told = used.pop(planned.kind, [])
        liters = fsum(coat.used_l for coat in told) if told else None
        rows.append(Held(planned.name, "l", planned.volume_l, liters))
        films = [coat.film_um for coat in told if coat.film_um is not None]
        wastes = [coat.waste_share for coat in told if coat.waste_share is not None]
        if films:
            film = fsum(films) / len(films)
            rows.append(Held(f"{planned.name}, wet film", "µm", planned.film_um, film))
            waste = fsum(wastes) / len(wastes)
            rows.append(Held(f"{planned.name}, waste", "", planned.waste, waste))
    rows += [
        Held(kind, "l", None, fsum(coat.used_l for coat in told))
        for kind, told in used.items()
    ]
    return rows


def _whole(answers: Workup, closed: Closed) -> list[Held]:
    cost = None if closed.cost is None else float(closed.cost)
    return [
        Held("Days on site", "d", answers.work.days, closed.days),
        Held("Cost", answers.bid.currency, float(answers.bid.cost), cost),
    ]
