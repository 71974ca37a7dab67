"""Walls that are typed in one go: all of them are taken, or none."""

import pytest

from kit.bench.measured import measure_figures
from kit.bench.runs import with_run
from kit.bench.state import TableState
from kit.job import blank_job
from kit.units import square_feet


@pytest.fixture
def state():
    return TableState(blank_job())


def typed(state, text, *, room="", after=-1, bearing=90.0):
    return state.change(lambda job: with_run(job, room, after, bearing, text))


def area_ft2(state):
    return square_feet(state.answers.takeoff.net_m2)


@pytest.mark.parametrize(
    ("text", "ft2"),
    [
        ("20 6 x 15", 20.5 * 15),
        ("20.5 × 15", 20.5 * 15),
        ("6 m by 4.2 m", 6 * 4.2 / 0.3048**2),
        ("24 6, 18, 24 6, 18", 24.5 * 18),
        ("24 6; 18; 24 6; 18", 24.5 * 18),
        ("24 6 r, 18 r, 24 6 right, 18", 24.5 * 18),
        ("n 10, 8 r, 10, 8", 80),
        # an L: its inner corner turns left. 20 x 10 less 8 x 4
        ("20, 6, 8 l, 4, 12, 10", 20 * 10 - 8 * 4),
        ("20, 6, 8 left, 4, 12, 10", 20 * 10 - 8 * 4),
    ],
)
def test_a_run_of_walls_becomes_a_room_in_one_step(state, text, ft2):
    assert typed(state, text) is None
    assert area_ft2(state) == pytest.approx(ft2, rel=1e-6)
    state.undo()
    assert not state.can_undo
    assert not state.job.site.rooms


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("20, 15, nonsense, 15", "Wall 3 of Room 1"),
        ("20 x", "Deep"),
        ("-3 x 4", "Across"),
        (" ; ", "Walls of"),
        (", ".join(["9"] * 61), "Walls of"),
    ],
)
def test_a_run_that_cannot_be_read_adds_nothing(state, text, field):
    complaint = typed(state, text)
    assert complaint.says.startswith(field)
    assert not state.can_undo


def test_a_rectangle_is_refused_where_there_are_walls(state):
    typed(state, "20, 15")
    assert "without any" in typed(state, "20 x 15", room="Room 1").says


def test_walls_are_put_in_after_one_and_in_between(state):
    typed(state, "20, 15", room="")
    assert typed(state, "9, 8", room="Room 1", after=1, bearing=180.0) is None
    walls = measure_figures(state.job, None, state.lacks)["rooms"][0]["walls"]
    assert [wall["length"] for wall in walls] == ["20′ 0″", "9′ 0″", "8′ 0″", "15′ 0″"]
