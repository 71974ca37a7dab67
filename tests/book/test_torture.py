"""Every fault of the fault table, a few times here and many times where marked slow."""

from __future__ import annotations

import os

import pytest

from kit.measure.torture import Fault
from kit.measure.torture.crowding import writers
from kit.measure.torture.disks import (
    clock_backward,
    damaged,
    full_disk,
    odd_texts,
    read_only,
)
from kit.measure.torture.killing import killed, killed_attaching
from kit.measure.torture.lines import begun_unanswered, broken_line

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="kills by signal")


def survived(fault):
    assert fault.is_survived, fault
    assert fault.kept > 0, fault
    return fault


@pytest.fixture
def folder(tmp_path):
    return tmp_path


@pytest.mark.parametrize("rounds", [8, pytest.param(300, marks=pytest.mark.slow)])
def test_nothing_told_to_be_kept_is_lost_to_kills(folder, demo_job, rounds):
    fault = survived(killed(folder, demo_job, rounds=rounds, seed=1))
    in_mid_write = int(fault.told.split()[0])
    assert in_mid_write >= rounds // 20  # only kills in mid-write prove anything


def test_no_name_is_without_its_file_where_the_power_was_cut_between(folder, demo_job):
    survived(killed_attaching(folder, demo_job, rounds=8, seed=1))


def test_disk_clock_and_texts(folder, demo_job):
    survived(full_disk(folder, demo_job, rounds=5))
    survived(damaged(folder, demo_job, rounds=4, seed=1))
    survived(clock_backward(folder, demo_job, rounds=8, seed=1))
    survived(odd_texts(folder / "odd.sqlite", demo_job))


def test_a_folder_that_may_only_be_read(demo_job):
    # a folder that others may pass through: those of pytest they may not
    import tempfile
    from pathlib import Path

    with tempfile.TemporaryDirectory() as name:
        survived(read_only(Path(name), demo_job))


@pytest.mark.parametrize("crowd", [6, pytest.param(50, marks=pytest.mark.slow)])
@pytest.mark.parametrize("kind", ["file", "office"])
def test_every_accepted_edit_of_a_crowd_is_there_once(
    request, folder, demo_job, crowd, kind
):
    where = folder / "crowd.sqlite" if kind == "file" else request.getfixturevalue("office")
    fault = survived(writers(where, demo_job, crowd=crowd, edits=2, name=kind))
    assert fault.kept == 2 * crowd


def test_an_edit_over_a_line_that_breaks_is_kept_once(office, demo_job):
    fault = survived(broken_line(office, demo_job, edits=25, seed=1))
    assert int(fault.told.split()[0]) > 3  # else it never broke


def test_a_job_whose_first_answer_is_lost_is_begun_once(office, demo_job):
    fault = survived(begun_unanswered(office, demo_job, jobs=4))
    assert fault.told.startswith("4 ")


def test_texts_on_a_server(office, demo_job):
    survived(odd_texts(office, demo_job))


@pytest.mark.parametrize("spoilt", [{"lost": 1}, {"broken": 1}, {"tries": 0}])
def test_a_fault_is_survived_only_if_it_happened_and_nothing_is_lost_or_broken(spoilt):
    told = {"name": "x", "tries": 1, "kept": 1, "lost": 0, "broken": 0}
    assert Fault(**told).is_survived
    assert not Fault(**told | spoilt).is_survived
