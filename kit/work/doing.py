"""From the floor and its coats to hours, days on site, and what they use up."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from kit.coats.system import System
from kit.errors import Concern, ShelfError
from kit.money import rounded, times
from kit.stock.house import House, Stage, Task
from kit.stock.records import Finish
from kit.stock.shelf import Shelf
from kit.takeoff.figures import Figure, Takeoff, spoken
from kit.work.counting import BY_DAY, UNITS, Counts, counted, each, whole
from kit.work.records import (
    ChargeNeed,
    EquipmentNeed,
    StageDays,
    SundryNeed,
    TaskHours,
    Work,
)

STAGES: tuple[Stage, ...] = get_args(Stage)


def work_for(takeoff: Takeoff, system: System, shelf: Shelf) -> Work:
    """Count the hours and days of a floor at the shelf's production rates.

    Grinding and the seal coat share a day if they fit; every further film, a primer, a
    flood coat or a pass of the wear coat, has a day of its own, for it must harden
    before it is walked on. What extras take is counted with the rest.

    Raises
    ------
    ShelfError
        If setting up takes the whole of every day.
    """
    house = shelf.house
    counts = Counts(takeoff, system, house)
    every = [*shelf.tasks, *(task for extra in system.extras for task in extra.tasks)]
    daily = [task for task in every if task.driver in BY_DAY]
    once = [task for task in every if task.driver not in BY_DAY]
    once.append(_laying(system.finish, house))

    done = [hours for task in once if (hours := _hours(task, counts)).labor_h > 0.0]
    set_up_h = _set_up_h(daily, counts)
    usable_h = house.hours_per_day - set_up_h
    stages = tuple(_days(stage, done, system, house, usable_h) for stage in STAGES)

    counts = replace(counts, days=sum(stage.days for stage in stages))
    tasks = (*(_hours(task, counts) for task in daily), *done)
    crew_hours = sum(task.labor_h for task in tasks)
    overtime_h = _overtime_h(stages, set_up_h, house)
    return Work(
        tasks=tasks,
        stages=stages,
        crew_hours=crew_hours,
        days=counts.days,
        sundries=_sundries(shelf, counts),
        equipment=_equipment(shelf, stages),
        charges=_charges(shelf, counts),
        set_up_h=set_up_h,
        overtime_h=overtime_h,
        concerns=_concerns(stages, system, usable_h),
        trail=_trail(tasks, stages, crew_hours, usable_h, house),
    )


def _laying(finish: Finish, house: House) -> Task:
    """Laying the wear coat: the one task whose rate the finish knows."""
    return Task(
        key="lay_wear",
        name=f"Roll the wear coat, {finish.name.lower()}",
        stage="wear",
        driver="area",
        times=finish.passes,
        per_person_h=finish.rate_m2_h / house.crew,
        source=finish.source,
    )


def _hours(task: Task, counts: Counts) -> TaskHours:
    quantity = counts.of(task.driver, task.coats)
    again = f" × {task.times}" if task.times > 1 else ""
    rate = spoken(task.per_person_h, UNITS.get(task.driver, ""))
    how = f"{counted(task.driver, quantity)}{again} at {rate} a person-hour"
    labor_h = quantity * task.times / task.per_person_h
    return TaskHours(task.key, task.name, task.stage, labor_h, how, task.driver, task.coats)


def _set_up_h(daily: list[Task], counts: Counts) -> float:
    """Hours of every day, by the clock, in which the crew sets up and cleans up."""
    one_day = replace(counts, days=1)
    spent_h = sum(_hours(task, one_day).labor_h for task in daily) / counts.house.crew
    if spent_h >= counts.house.hours_per_day:
        raise ShelfError(
            "hours_per_day",
            found=f"{counts.house.hours_per_day:g} h",
            expected=f"more than the {spent_h:g} h that setting up takes",
        )
    return spent_h


def _overtime_h(stages: tuple[StageDays, ...], set_up_h: float, house: House) -> float:
    """Person-hours beyond the plain day, a stage's work spread evenly over its days."""
    over_h = 0.0
    for stage in stages:
        if stage.days:
            day_h = set_up_h + stage.elapsed_h / stage.days
            over_h += stage.days * max(0.0, day_h - house.overtime_after_h)
    return over_h * house.crew


def _days(
    stage: Stage, done: list[TaskHours], system: System, house: House, usable_h: float
) -> StageDays:
    elapsed_h = sum(task.labor_h for task in done if task.stage == stage) / house.crew
    return StageDays(
        stage, elapsed_h, max(system.passes(stage), whole(elapsed_h / usable_h))
    )


def _sundries(shelf: Shelf, counts: Counts) -> tuple[SundryNeed, ...]:
    needs = []
    of_extras = (sundry for extra in counts.system.extras for sundry in extra.sundries)
    for sundry in (*shelf.sundries, *of_extras):
        count = whole(counts.of(sundry.driver) / sundry.lasts)
        if count:
            cost = rounded(sundry.price * count, shelf.house.currency)
            needs.append(SundryNeed(sundry, count, cost))
    return tuple(needs)


def _equipment(shelf: Shelf, stages: tuple[StageDays, ...]) -> tuple[EquipmentNeed, ...]:
    needs = []
    for equipment in shelf.equipment:
        days = sum(stage.days for stage in stages if stage.stage in equipment.stages)
        cost = rounded(times(equipment.price_per_day, days), shelf.house.currency)
        needs.append(EquipmentNeed(equipment, days, cost))
    return tuple(needs)


def _charges(shelf: Shelf, counts: Counts) -> tuple[ChargeNeed, ...]:
    needs = []
    of_extras = (charge for extra in counts.system.extras for charge in extra.charges)
    for charge in (*shelf.charges, *of_extras):
        quantity = counts.of(charge.driver)
        if not quantity:
            continue
        usual = times(charge.price, quantity)
        how = f"{counted(charge.driver, quantity)} at {each(charge.driver, charge.price)}"
        if usual < charge.least:
            how += f", raised to the least of {charge.least:f}"
        cost = rounded(max(usual, charge.least), shelf.house.currency)
        needs.append(ChargeNeed(charge, quantity, cost, how))
    return tuple(needs)


def _concerns(
    stages: tuple[StageDays, ...], system: System, usable_h: float
) -> tuple[Concern, ...]:
    flood = next(stage for stage in stages if stage.stage == "flood")
    one_pour_h = flood.elapsed_h / system.passes("flood")
    if one_pour_h <= usable_h:
        return ()
    return (
        Concern(
            "flood coat",
            f"It takes {one_pour_h:.1f} h and a day has {usable_h:.1f} h, too few to "
            "pour it wet in wet.",
            "Bring more people, or plan a joint where the pour may stop.",
        ),
    )


def _trail(
    tasks: tuple[TaskHours, ...],
    stages: tuple[StageDays, ...],
    crew_hours: float,
    usable_h: float,
    house: House,
) -> tuple[Figure, ...]:
    days = " + ".join(
        f"{stage.days} {stage.stage} ({stage.elapsed_h:.1f} h)" for stage in stages
    )
    return (
        *(Figure(task.name, task.labor_h, "h", task.how) for task in tasks),
        Figure(
            "Person-hours", crew_hours, "h", f"sum of the above, a crew of {house.crew}"
        ),
        Figure(
            "Days on site",
            sum(stage.days for stage in stages),
            "",
            f"{days}, {usable_h:.1f} h a day after setting up",
        ),
    )
