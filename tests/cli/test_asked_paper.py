"""How the command asks for its paper: language, size, units."""

from __future__ import annotations

import argparse

import pytest

from kit.cli.propose import _as_asked
from kit.errors import PaperError


def asked(**given: str | None) -> argparse.Namespace:
    return argparse.Namespace(**{"language": None, "paper": None, "units": None, **given})


def test_nothing_asked_leaves_the_job_as_its_sheet_says(demo_job):
    assert _as_asked(demo_job, asked()) is demo_job


def test_what_is_asked_for_stands_on_the_job(demo_job):
    job = _as_asked(demo_job, asked(language="es", paper="a4", units="metric"))
    assert (job.language, job.paper.page, job.paper.units) == ("es-US", "a4", "metric")


def test_a_language_that_is_not_spoken_is_refused_before_any_work(demo_job):
    with pytest.raises(PaperError, match="language: found tlh"):
        _as_asked(demo_job, asked(language="tlh"))
