"""The demo's and an invented basement's job packs, planned and pressed once."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.job import Job, Pictures, workup
from kit.job.packing import Packing, packing_of
from kit.jobpack import CrewView, crew_view, job_pack

BASEMENT = Path(__file__).parent / "basement.toml"


@pytest.fixture(scope="session")
def pictures(demo_job, demo_workup):
    return Pictures(demo_job.recipe, demo_workup.plan)


@pytest.fixture(scope="session")
def packing(demo_job, demo_workup, pictures) -> Packing:
    return packing_of(demo_job, demo_workup, pictures)


@pytest.fixture(scope="session")
def view(demo_job, demo_workup, packing, pictures) -> CrewView:
    return crew_view(
        demo_job, demo_workup, packing.pouring, pictures.shelf, gate=packing.gate,
        schedule=packing.schedule,
    )  # fmt: skip


@pytest.fixture(scope="session")
def pack(view) -> bytes:
    return job_pack(view)


@pytest.fixture(scope="session")
def basement():
    """Job, answers and pouring of about 4,000 sq ft, two people and a helper."""
    job = Job.from_sheet(BASEMENT)
    answers = workup(job)
    pictures = Pictures(job.recipe, answers.plan)
    return job, answers, packing_of(job, answers, pictures)
