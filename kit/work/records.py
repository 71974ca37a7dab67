"""Who does what, for how long, and what is used up or on site meanwhile."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kit.errors import Concern
from kit.stock.house import Charge, CoatKind, Driver, Equipment, Stage, Sundry
from kit.takeoff.figures import Figure


@dataclass(frozen=True)
class TaskHours:
    """One task of this floor.

    Parameters
    ----------
    key, name : str
    stage : {"prepare", "flood", "wear"}
    labor_h : float
        Hours of all persons together. [h]
    how : str
        The sum that made it.
    driver : str
        What it is counted by.
    coats : tuple of str
        Coats that are counted; none is all of them.
    """

    key: str
    name: str
    stage: Stage
    labor_h: float
    how: str
    driver: Driver
    coats: tuple[CoatKind, ...]


@dataclass(frozen=True)
class StageDays:
    """The days that a stage takes.

    Parameters
    ----------
    stage : {"prepare", "flood", "wear"}
    elapsed_h : float
        Hours by the clock with the whole crew at it, set-up left out. [h]
    days : int
    """

    stage: Stage
    elapsed_h: float
    days: int


@dataclass(frozen=True)
class SundryNeed:
    """Whole pieces of a small thing that is used up."""

    sundry: Sundry
    count: int
    cost: Decimal


@dataclass(frozen=True)
class EquipmentNeed:
    """Days that a machine is on site."""

    equipment: Equipment
    days: int
    cost: Decimal


@dataclass(frozen=True)
class ChargeNeed:
    """What others charge for their part.

    Parameters
    ----------
    charge : Charge
    quantity : float
        Of its driver, in m² or m if it has one.
    cost : Decimal
    how : str
        The sum that made it.
    """

    charge: Charge
    quantity: float
    cost: Decimal
    how: str


@dataclass(frozen=True)
class Work:
    """The work of a floor: tasks, hours, days, and what they take.

    Parameters
    ----------
    tasks : tuple of TaskHours
    stages : tuple of StageDays
        In the order of the work; no two share a day.
    crew_hours : float
        Hours of all persons together, set-up in, travel out. [h]
    days : int
        Days on site, one trip each.
    sundries : tuple of SundryNeed
    equipment : tuple of EquipmentNeed
    charges : tuple of ChargeNeed
    set_up_h : float
        Hours by the clock of every day that go to setting up and cleaning up. [h]
    overtime_h : float
        Hours of all persons together beyond the plain day, road left out. [h]
    concerns : tuple of Concern
    trail : tuple of Figure
    """

    tasks: tuple[TaskHours, ...]
    stages: tuple[StageDays, ...]
    crew_hours: float
    days: int
    sundries: tuple[SundryNeed, ...]
    equipment: tuple[EquipmentNeed, ...]
    charges: tuple[ChargeNeed, ...]
    set_up_h: float
    overtime_h: float
    concerns: tuple[Concern, ...]
    trail: tuple[Figure, ...]
