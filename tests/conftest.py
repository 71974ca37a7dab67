"""Shared by all tests: the demo job, and the folder of the tests on the path."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from hypothesis import settings

sys.path.insert(0, str(Path(__file__).parent))

# Whoever runs the tests may have prices of his own.
os.environ["KIT_PRICE_BOOK"] = ""

# Machines differ and imports are lazy: a slow first example is not a fault.
settings.register_profile("kit", deadline=None)
settings.load_profile("kit")

DEMO_SHEET = Path(__file__).parent.parent / "demo_assets" / "boathouse.toml"


@pytest.fixture(scope="session")
def demo_sheet() -> Path:
    """The measure sheet of the demo."""
    return DEMO_SHEET


@pytest.fixture(scope="session")
def demo_job():
    """The demo as a Job."""
    from kit.job import Job

    return Job.from_sheet(DEMO_SHEET)


@pytest.fixture(scope="session")
def demo_workup(demo_job):
    """The demo worked up to its price."""
    from kit.job import workup

    return workup(demo_job)
