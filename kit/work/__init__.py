"""Who and when: tasks at production rates, hours, days, and what they use up."""

from kit.work.doing import work_for
from kit.work.records import (
    ChargeNeed,
    EquipmentNeed,
    StageDays,
    SundryNeed,
    TaskHours,
    Work,
)

__all__ = [
    "ChargeNeed",
    "EquipmentNeed",
    "StageDays",
    "SundryNeed",
    "TaskHours",
    "Work",
    "work_for",
]
