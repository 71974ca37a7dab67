"""The outer walls of all rooms, offered as the way out: none that a room lies behind."""

import pytest

from kit.bench import measuring, openings, rooms
from kit.bench.measured import measure_figures
from kit.bench.outside import outer_walls
from kit.bench.state import TableState
from kit.job import blank_job
from kit.units import M_PER_FT


@pytest.fixture
def two():
    """A room of 20 by 15 feet, another of 6 by 8 east of it, from the same north wall."""
    state = TableState(blank_job())
    for name, across, deep in (("Den", "20", "15"), ("Store", "6", "8")):
        state.change(lambda job, name=name: rooms.begun(job, name))
        state.change(
            lambda job, name=name, across=across, deep=deep: measuring.rectangle(
                job, name, across, deep
            )
        )
    assert state.change(lambda job: openings.doorway_between(job, "Den", "Store")) is None
    return state


def outer(state):
    return measure_figures(state.job, state.answers.plan, "")["outer"]


def test_a_wall_that_another_room_lies_behind_is_offered_only_as_far_as_it_is_free(two):
    free_ft = {
        (one.room, one.number): round(one.stretch.length_m / M_PER_FT, 3)
        for one in outer_walls(two.job)
    }
    assert free_ft == {
        ("Den", 0): 20.0, ("Den", 1): 7.0, ("Den", 2): 20.0, ("Den", 3): 15.0,
        ("Store", 0): 6.0, ("Store", 1): 8.0, ("Store", 2): 6.0,
    }  # fmt: skip


def test_the_list_names_room_side_and_what_leads_outside_with_the_likeliest_first(two):
    walls = outer(two)["walls"]
    assert walls[0]["says"] == "Den, north wall, 20′ 0″"
    assert walls[1]["says"] == "Den, east wall, 7′ 0″ of 15′ 0″"
    likely = walls[outer(two)["likely"]]
    assert (likely["room"], likely["wall"]) == ("Den", 0)
    assert two.answers.plan.way_out.room == "Den"


def test_the_way_out_in_a_wall_that_is_shared_in_part_leads_outside(two):
    assert two.change(lambda job: openings.way_out_in(job, "Den", 1)) is None
    leaving = measure_figures(two.job, two.answers.plan, "")["way_out"]
    assert leaving["along"] == "11′ 6″"  # the middle of the last 7 of 15 feet
    assert two.answers.plan.way_out.is_marked


def test_a_room_alone_has_its_walls_named_by_their_sides():
    state = TableState(blank_job())
    state.change(lambda job: rooms.begun(job, "Den"))
    state.change(lambda job: measuring.rectangle(job, "Den", "20", "15"))
    assert [one["says"] for one in outer(state)["walls"]][:2] == [
        "north wall, 20′ 0″",
        "east wall, 15′ 0″",
    ]
