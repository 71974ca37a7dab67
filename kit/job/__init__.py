"""One floor from the measure sheet to the proposal, read top to bottom.

Two strands leave the plan: what the floor will look like, and what it will
cost. They meet here and nowhere below::

    sheet → Job → plan ─┬→ takeoff → coats → work → bid ─┬→ Workup
                        └→ pour → look ──────────────────┴→ pictures
"""

from kit.job.pictures import Pictures
from kit.job.records import MOST_DESIGNS, Design, Firm, Job, PaperChoices, Signature
from kit.job.sheet import job_from
from kit.job.working import Workup, workup

__all__ = [
    "MOST_DESIGNS",
    "Design",
    "Firm",
    "Job",
    "PaperChoices",
    "Pictures",
    "Signature",
    "Workup",
    "job_from",
    "workup",
]
