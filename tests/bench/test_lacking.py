"""Rooms that are not in the price are told, with a button that takes them away."""

import pytest

from kit.bench.lacking import lacks_of_rooms, stations_so_far
from kit.bench.measuring import with_wall
from kit.bench.openings import way_out_in
from kit.bench.paper_figures import lacking, missing, paper_figures
from kit.bench.rooms import begun, without_room
from kit.bench.runs import with_run
from kit.bench.state import TableState
from kit.job import blank_job
from kit.stock import read_shelf


@pytest.fixture
def state():
    state = TableState(blank_job())
    state.change(lambda job: with_run(begun(job, "Den"), "Den", -1, 90.0, "20 x 15"))
    return state


def told(state):
    return lacks_of_rooms(state.job.site, state.lacks)


def test_an_empty_room_is_told_and_can_be_taken_away_and_the_price_stays(state):
    total = state.total
    assert told(state) == []
    state.change(lambda job: begun(job, "Closet"))
    (one,) = told(state)
    assert one["says"] == "Closet has no walls yet. It is not in the price."
    ((button, wish),) = one["offers"]
    assert button == "Remove Closet"
    assert wish == {"do": "room_remove", "room": "Closet"}
    assert state.total == total
    assert paper_figures(state.job, state.offer, state.shelf)["besides"] == [one]

    state.change(lambda job: without_room(job, wish["room"]))
    assert told(state) == []


def test_an_open_room_that_the_price_waits_for_is_named_on_the_paper_too(state):
    state.change(lambda job: begun(job, "Closet"))
    state.change(lambda job: with_wall(job, "Closet", 0, 90.0, "6"))
    assert told(state)[0]["says"].startswith("The walls of Closet do not close yet.")
    assert not told(state)[0]["waits"]
    state.change(lambda job: way_out_in(job, "Closet", 0))
    assert state.offer is None
    (one,) = told(state)
    assert one["waits"]

    first, *_ = lacks = lacking(state.job, state.offer, read_shelf())
    assert first["offers"] == one["offers"]
    assert missing(lacks).startswith("Before it can go out: walls of Closet that close,")


def test_a_room_without_a_doorway_is_told_by_its_own_name(state):
    for name in ("Den two", "den"):
        state.change(
            lambda job, name=name: with_run(begun(job, name), name, -1, 90.0, "5 x 5")
        )
    (one,) = told(state)
    assert one["says"].startswith(("Den two has no doorway", "den has no doorway"))
    assert one["offers"] == []
    assert "a doorway to every room" in missing(
        lacking(state.job, state.offer, read_shelf())
    )


def test_a_blank_table_lacks_nothing_but_walls():
    assert told(TableState(blank_job())) == []
    assert lacking(blank_job(), None, read_shelf())[0]["needs"] == "walls that close"


def test_every_step_waits_for_the_same_thing(state):
    for name in ("One", "Two"):
        state.change(
            lambda job, name=name: with_run(begun(job, name), name, -1, 90.0, "5 x 5")
        )
    assert state.offer is None
    told = stations_so_far(state.job.site)
    assert told == {
        "rooms": "needs doorway",
        "price": "waits for doorway",
        "paper": "waits for doorway",
    }
    told = stations_so_far(blank_job().site)
    assert told == {
        "rooms": "no walls yet",
        "price": "waits for walls",
        "paper": "waits for walls",
    }
