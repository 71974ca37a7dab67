"""Choices at the table: pure steps from one Job to the next."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.bench import choices
from kit.errors import SheetError

SHARES = st.lists(st.floats(0.001, 1.0), min_size=2, max_size=6)


@given(SHARES)
def test_whole_percents_sum_to_a_hundred_and_leave_no_color_out(shares):
    percents = choices.whole_percents(shares)

    assert sum(percents) == 100
    assert min(percents) >= choices.LEAST_PERCENT
    assert all(isinstance(percent, int) for percent in percents)


def test_whole_percents_leave_whole_percents_alone():
    assert choices.whole_percents([0.5, 0.32, 0.18]) == [50, 32, 18]


@given(place=st.integers(0, 2), percent=st.floats(-50, 150))
def test_a_share_given_to_one_color_is_taken_from_the_others(demo_job, place, percent):
    job = choices.with_percent(demo_job, place, percent)

    shares = job.recipe.palette.shares
    assert sum(shares) == pytest.approx(1.0, abs=1e-9)
    expected = min(
        max(round(percent), choices.LEAST_PERCENT), 100 - 2 * choices.LEAST_PERCENT
    )
    assert round(shares[place] * 100) == expected


@given(place=st.integers(0, 1), percent=st.floats(-20, 120))
def test_a_border_moves_its_two_colors_and_no_other(demo_job, place, percent):
    before = demo_job.recipe.palette.shares
    after = choices.with_border(demo_job, place, percent).recipe.palette.shares

    others = [i for i in range(3) if i not in (place, place + 1)]
    assert [after[i] for i in others] == [before[i] for i in others]
    assert after[place] + after[place + 1] == pytest.approx(
        before[place] + before[place + 1]
    )
    assert min(after) >= choices.LEAST_PERCENT / 100


def test_a_border_stands_where_it_was_put(demo_job):
    shares = choices.with_border(demo_job, 0, 61.4).recipe.palette.shares

    assert shares == pytest.approx((0.61, 0.21, 0.18))


@pytest.mark.parametrize(
    ("place", "text", "shares"),
    [
        (0, "61", (0.61, 0.21, 0.18)),
        (1, " 30,5 %", (0.5, 0.305, 0.195)),
        (2, "40", (0.5, 0.1, 0.4)),
        (0, "33.33", (0.333, 0.487, 0.18)),
    ],
)
def test_a_typed_share_is_given_or_taken_by_the_color_beside_it(
    demo_job, place, text, shares
):
    job = choices.with_share(demo_job, place, text)
    assert job.recipe.palette.shares == pytest.approx(shares)


@pytest.mark.parametrize(
    ("place", "text", "found", "expected"),
    [
        (0, "81", "81", "2 to 80 percent; the next color gives or takes"),
        (2, "1.9", "1.9", "2 to 48 percent; the color before gives or takes"),
        (0, "half", "half", "a number of percent"),
        (0, "-3", "-3", "a number of percent"),
        (0, "nan", "nan", "a number of percent"),
        (0, " ", "nothing", "a number of percent"),
    ],
)
def test_a_share_that_cannot_be_is_refused_in_words(demo_job, place, text, found, expected):
    with pytest.raises(SheetError) as told:
        choices.with_share(demo_job, place, text)
    assert (told.value.found, told.value.expected) == (found, expected)


def test_a_border_leaves_the_tenths_of_other_colors_alone(demo_job):
    typed = choices.with_share(demo_job, 2, "18.5")
    shares = choices.with_border(typed, 0, 60).recipe.palette.shares
    assert shares == pytest.approx((0.6, 0.215, 0.185))


def test_an_added_color_takes_an_even_part_and_can_be_taken_out_again(demo_job):
    four = choices.with_added(demo_job, "gull_white")
    assert four.recipe.palette.shares[-1] == pytest.approx(0.25)

    three = choices.without(four, 3)
    keys = [colour.pigment for colour in three.recipe.palette.colours]
    assert keys == [colour.pigment for colour in demo_job.recipe.palette.colours]
    assert sum(three.recipe.palette.shares) == pytest.approx(1.0)


def test_six_colors_are_the_most_and_two_the_fewest(demo_job):
    job = demo_job
    for pigment in ("gull_white", "rain_grey", "anvil_grey"):
        job = choices.with_added(job, pigment)
    with pytest.raises(SheetError, match="6 at most"):
        choices.with_added(job, "dune_sand")

    job = choices.without(demo_job, 0)
    with pytest.raises(SheetError, match="2 at least"):
        choices.without(job, 0)


@pytest.mark.parametrize("pigment", ["fjord_blue", "Fjord blue", "<b>", ""])
def test_a_pigment_already_there_or_no_key_at_all_is_refused(demo_job, pigment):
    with pytest.raises(SheetError):
        choices.with_added(demo_job, pigment)


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -1e9, 1e9])
def test_a_knob_turned_past_its_ends_is_refused(demo_job, value):
    with pytest.raises(SheetError, match="calm"):
        choices.with_knob(demo_job, "calm", value)


def test_only_knobs_can_be_turned(demo_job):
    with pytest.raises(SheetError, match="name of a knob"):
        choices.with_knob(demo_job, "__class__", 1.0)
