"""The papers that are timed, beside each other and beside other typesetters."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.measure.timing import Work
    from kit.measure.works import Demo
    from kit.proposal.shown import ClientView


def packed(demo: Demo) -> Work:
    """The demo's job pack: days, gate, pour and paper; its pattern is at hand."""
    from kit.job.packing import packing_of
    from kit.jobpack import crew_view, job_pack

    job, answers, pictures = demo.job, demo.answers, demo.pictures
    _ = pictures.poured.coarse_shares(10, 0.1)

    def pack() -> bytes:
        plan = packing_of(job, answers, pictures)
        view = crew_view(
            job, answers, plan.pouring, pictures.shelf, gate=plan.gate,
            schedule=plan.schedule,
        )  # fmt: skip
        return job_pack(view)

    return pack


def proposed(demo: Demo) -> Work:
    """The demo's proposal: what it shows is at hand, its pages are not."""
    from kit.proposal import propose

    viewed = viewing(demo)
    viewed()
    return lambda: propose(viewed())


def viewing(demo: Demo) -> Callable[[], ClientView]:
    """What the demo's client reads: its pictures shaded and encoded, no page set."""
    from kit.proposal import client_view

    return lambda: client_view(demo.job, demo.answers, demo.pictures)
