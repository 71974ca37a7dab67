"""What the screen is told while the rooms are still being measured: no price yet."""

from __future__ import annotations

from typing import Any

from kit.job import Job
from kit.stock import Shelf

NO_PRICE = "no price yet"


def unpriced_figures(job: Job, shelf: Shelf) -> dict[str, Any]:
    """The figures that follow from rooms, where there are none; keys as with a price."""
    finishes = [
        {
            "key": finish.key,
            "name": finish.name,
            "says": finish.says,
            "slip": finish.slip,
            "total": "",
            "per_sqft": "",
            "difference": "",
            "why": "",
            "amount": "",
            "is_more": False,
            "chosen": finish.key == job.finish,
        }
        for finish in shelf.finishes
    ]
    none = dict.fromkeys(("plain", "per_sqft", "basis", "area", "rule", "tax"), "")
    return {
        "price": {"total": NO_PRICE, **none},
        "payments": [],
        "options": finishes,
        "extras": [],
        "advice": [],
        "poured": {"area": "", "walls": ""},
        "stations": dict(zip(("rooms", "price"), _so_far(job), strict=True)),
    }


def _so_far(job: Job) -> tuple[str, str]:
    """What the rooms lack, and what the price waits for."""
    if any(draft.walls for draft in job.site.drafts):
        return "walls open", "waits for walls"
    if job.site.rooms:
        return "needs doorway", "waits for doorway"
    return "no walls yet", "waits for walls"
