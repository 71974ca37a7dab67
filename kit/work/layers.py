"""Which work belongs to which film, and how the floor is cut into what one day can lay."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import shapely

from kit.coats.system import Coat, System
from kit.plan import FloorPlan
from kit.plan.heading import rooms_in_turn
from kit.stock.house import Task
from kit.stock.records import Product
from kit.stock.shelf import Shelf
from kit.work.counting import BY_DAY
from kit.work.dayplan import Layer, Zone
from kit.work.records import Work

LAYS = ("lay_", "mix_", "coat_")
"""Keys of tasks by which a film is mixed and laid; all else readies what is below."""

LARGEST = 1.05
"""Largest part over an equal one: rather that than a small room on a day of its own."""


def layers_of(system: System, work: Work, shelf: Shelf) -> tuple[tuple[Layer, ...], float]:
    """Films from the slab up with their labor, and the labor that readies the slab.

    Returns
    -------
    layers : tuple of Layer
        One a pass; each has the hours of readying, mixing and laying it.
    prepare_h : float
        All that is done to the bare slab. [h]

    Notes
    -----
    A task says what it belongs to (`Task.belongs`), or has the coats it counts; a task
    of the flood or wear stage that says neither belongs to the first film of its kind.
    Buckets are shared among films of a kind by volume.
    """
    tasks = {task.key: task for task in shelf.tasks}
    tasks |= {task.key: task for extra in system.extras for task in extra.tasks}
    labor = [0.0] * len(system.coats)
    ready = [0.0] * len(system.coats)
    prepare_h = 0.0
    for done in work.tasks:
        task = tasks.get(done.key)
        if task is not None and (task.driver in BY_DAY or _is_last(task)):
            continue
        shares = _shares(done.stage, task, system.coats)
        if not shares:
            prepare_h += done.labor_h
        for number, share in shares.items():
            labor[number] += share * done.labor_h
            if not done.key.startswith(LAYS):
                ready[number] += share * done.labor_h
    layers = []
    for coat, labor_h, ready_h in zip(system.coats, labor, ready, strict=True):
        for pass_number in range(1, coat.passes + 1):
            again = f", pass {pass_number}" if coat.passes > 1 else ""
            key = coat.extra or coat.kind
            layers.append(
                Layer(
                    key=key if pass_number == 1 else f"{key}-{pass_number}",
                    name=f"{coat.name}{again}",
                    product=coat.product.key,
                    labor_h=labor_h / coat.passes,
                    ready_h=ready_h / coat.passes,
                )
            )
    return tuple(layers), prepare_h


def walk_through_h(work: Work, shelf: Shelf) -> float:
    """Labor of what is done once the floor can be walked on. [h]"""
    last = {task.key for task in shelf.tasks if _is_last(task)}
    return sum(done.labor_h for done in work.tasks if done.key in last)


def fillers_of(work: Work, shelf: Shelf) -> tuple[Product, ...]:
    """What this floor is filled with before its first coat, in the order of the shelf."""
    done = {task.key for task in work.tasks}
    keys = dict.fromkeys(
        task.fills for task in shelf.tasks if task.fills and task.key in done
    )
    return tuple(shelf.product(key) for key in keys)


def levelling_h(work: Work, shelf: Shelf) -> float:
    """Labor on the bare slab that is left when all is filled. [h]"""
    last = {task.key for task in shelf.tasks if task.levels}
    return sum(done.labor_h for done in work.tasks if done.key in last)


def _is_last(task: Task) -> bool:
    """Whether a task waits until the top film can be walked on."""
    return task.driver == "job" and task.stage == "wear"


def _shares(stage: str, task: Task | None, coats: Sequence[Coat]) -> dict[int, float]:
    """Numbers of the coats that a task belongs to, with its share in each."""
    belongs = task.belongs if task is not None else ""
    if task is not None and not belongs and task.coats:
        found = [n for n, coat in enumerate(coats) if coat.kind in task.coats]
        total_l = sum(coats[n].volume_l for n in found)
        return {n: coats[n].volume_l / total_l for n in found}
    if not belongs and stage == "prepare":
        return {}
    wanted = belongs or stage
    own = [n for n, coat in enumerate(coats) if coat.extra == wanted]
    kind = [n for n, coat in enumerate(coats) if coat.kind == wanted]
    first = (own or sorted(kind, key=lambda n: bool(coats[n].extra)))[:1]
    return dict.fromkeys(first, 1.0)


def zones_of(
    plan: FloorPlan, area_m2: float, count: int, in_turn: Sequence[str] = ()
) -> tuple[Zone, ...]:
    """Cut a floor into about `count` parts, at doorways where that is possible.

    Parameters
    ----------
    plan : FloorPlan
    area_m2 : float
        Of the floor; thresholds are counted with the rooms. [m²]
    count : int
        Parts that a floor without walls is cut into.
    in_turn : sequence of str
        Its `rooms_in_turn`, where they are at hand.
    """
    areas_m2 = shapely.area([room.poured for room in plan.rooms]).tolist()
    rooms = dict(zip((room.name for room in plan.rooms), areas_m2, strict=True))
    scale = area_m2 / sum(areas_m2)
    most = area_m2 / count * LARGEST
    parts: list[tuple[list[str], float]] = []
    for name in in_turn or rooms_in_turn(plan):
        room_m2 = rooms[name] * scale
        pieces = max(1, ceil(room_m2 / most))
        is_apart = bool(parts) and any(
            name in pair and other in pair for pair in plan.apart for other in parts[-1][0]
        )
        if pieces == 1 and parts and not is_apart and parts[-1][1] + room_m2 <= most:
            parts[-1] = ([*parts[-1][0], name], parts[-1][1] + room_m2)
            continue
        parts += [([name], room_m2 / pieces)] * pieces
    return tuple(
        Zone(number, tuple(names), part_m2)
        for number, (names, part_m2) in enumerate(parts, start=1)
    )
