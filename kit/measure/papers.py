"""The two papers that are timed beside each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.measure.timing import Work
    from kit.measure.works import Demo


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
    from kit.proposal import client_view, propose

    job, answers, pictures = demo.job, demo.answers, demo.pictures
    client_view(job, answers, pictures)
    return lambda: propose(client_view(job, answers, pictures))
