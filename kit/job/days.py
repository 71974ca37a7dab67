"""When a job is done and whether its site may be coated: gate and day plans."""

from __future__ import annotations

from dataclasses import dataclass

from kit.work.dayplan import DayPlans
from kit.work.verdicts import GateReport


@dataclass(frozen=True)
class Days:
    """The site gate, and the plans of the days behind it."""

    gate: GateReport
    plans: DayPlans
