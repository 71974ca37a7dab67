"""One floor from the measure sheet to the proposal, read top to bottom.

Two strands leave the plan: what the floor will look like, and what it will
cost. They meet here and nowhere below::

    sheet → Job → plan ─┬→ takeoff → coats → work → bid ─┬→ Workup
                        └→ pour → look ──────────────────┴→ pictures

A picture does not wait for what a price needs: that is loaded when it is first asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kit.loading import for_good, put_off

with for_good(), put_off("importlib.metadata", "entry_points"):
    from kit.job.blank import blank_job
    from kit.job.calling import design_of, finish_beside, pour_number
    from kit.job.cancelling import LastDay, last_days
    from kit.job.pictures import Pictures
    from kit.job.records import (
        MOST_DESIGNS,
        UNNAMED_FIRM,
        Design,
        Firm,
        Job,
        PaperChoices,
        Sale,
        Signature,
    )
    from kit.job.sheet import job_from
    from kit.job.signing import changed_since, standing_signature, still_signed

if TYPE_CHECKING:
    from kit.job.working import Workup, workup

__all__ = [
    "MOST_DESIGNS",
    "UNNAMED_FIRM",
    "Design",
    "Firm",
    "Job",
    "LastDay",
    "PaperChoices",
    "Pictures",
    "Sale",
    "Signature",
    "Workup",
    "blank_job",
    "changed_since",
    "design_of",
    "finish_beside",
    "job_from",
    "last_days",
    "pour_number",
    "standing_signature",
    "still_signed",
    "workup",
]


def __getattr__(name: str) -> Any:
    if name not in ("Workup", "workup"):
        msg = f"module 'kit.job' has no attribute {name!r}"
        raise AttributeError(msg)
    from kit.job import working

    return getattr(working, name)
