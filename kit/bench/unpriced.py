"""What the screen is told while the rooms are still being measured: no price yet."""

from __future__ import annotations

from typing import Any

from kit.bench.lacking import stations_so_far
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
            "cents": 0,
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
        "on_paper": "",
        "advice": [],
        "poured": {"area": "", "walls": ""},
        "stations": stations_so_far(job.site),
    }
