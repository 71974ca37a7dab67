"""Plans of the days: worked by hand, searched by force, and laws that must hold."""

from itertools import product as every
from math import ceil

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from plans import BEGIN, SHELF, at, faults, floor, planned, terms

from kit.job import Job, workup
from kit.job.days import days_of
from kit.work.asking import eased
from kit.work.expected import Expectation, steady
from kit.work.laying_out import lay_out_days
from kit.work.planning import floor_of, why_not
from kit.work.program import programmed
from kit.work.pushing import UnsettledError, pushed
from kit.work.puzzle import Block, Puzzle, WorkDay
from kit.work.solving import solve
from kit.work.windows import windows_for

NETLOFT = "netloft.toml"


@pytest.fixture(scope="module")
def loft(demo_sheet):
    job = Job.from_sheet(demo_sheet.parent / NETLOFT)
    return job, workup(job)


def starts(laid):
    clock = laid.terms.clock
    return [clock.at(start) for start in laid.solved.starts]


def test_a_flood_is_begun_late_so_that_the_next_coat_ends_in_time():
    """Flood 2.75 h, wear 1 h, recoat 10 to 24 h, work 7 to 17: wear cannot end before
    8:00, so the flood begins at 8:00, not 7:00. By hand."""
    laid = lay_out_days(floor(2.75, 1.0), terms(start=7, until=17))

    assert starts(laid) == [at(1, 8), at(2, 7)]


def test_a_day_full_of_grinding_is_split_and_the_first_coat_follows_it():
    """11 h of readying in days of 10: to 9:00 on the second day. By hand."""
    laid = lay_out_days(floor(1.0, 1.0, prepare_h=11.0), terms())

    assert [(p.start / 4, p.end / 4) for p in laid.pieces] == [(8, 18), (32, 33)]
    assert starts(laid) == [at(2, 9), at(3, 8)]


def test_the_first_coat_waits_until_what_was_filled_is_hard():
    """Readied 8:00 to 11:00, filled by 9:00, hard 4 h later at 21 °C: 13:00. By hand."""
    asked = floor(1.0, 1.0, prepare_h=3.0, filler_h=4.0, filled_h=1.0)

    assert starts(lay_out_days(asked, terms()))[0] == at(1, 13)
    assert starts(lay_out_days(floor(1.0, 1.0, prepare_h=3.0), terms()))[0] == at(1, 11)


@settings(max_examples=20)
@given(
    slab_c=st.floats(10.5, 30.0), filler_h=st.floats(0.5, 12.0), filled_h=st.floats(0, 15)
)
def test_no_coat_is_ever_begun_over_a_soft_filler(slab_c, filler_h, filled_h):
    asked = floor(1.0, prepare_h=15.0, filler_h=filler_h, filled_h=filled_h)
    crew = terms(slab_c=slab_c)
    laid = lay_out_days(asked, crew)
    product, cure = asked.fillers[0]

    worked_h = 0.0
    for piece in laid.pieces:
        filled_at = piece.start / 4 + min(
            filled_h - worked_h, (piece.end - piece.start) / 4
        )
        worked_h += (piece.end - piece.start) / 4
        if worked_h >= filled_h:
            break
    wait_h = windows_for(product, cure, slab_c).recoat_from_h
    assert laid.solved.starts[0] / 4 >= filled_at + wait_h - 1e-6
    assert laid.solved.starts[0] >= laid.pieces[-1].end


def test_a_floor_with_cracks_and_patches_has_their_fillers_waited_for(demo_sheet):
    job = Job.from_sheet(demo_sheet.parent / "chart_house.toml")
    w = workup(job)
    asked = floor_of(w.plan, w.takeoff, w.system, w.work, SHELF)

    assert [one.key for one, _ in asked.fillers] == ["joint_filler", "patch_mortar"]
    assert 0.0 < asked.filled_h < asked.prepare_h


def test_a_cold_slab_leaves_no_window_between_two_coats():
    """5.5 h + 30.3 h of waiting exceed 24 h whatever the hours are. By hand."""
    cold = terms(slab_c=10.5)
    asked = floor(2.75, 1.0, wait_h=12.0)
    wait_h = windows_for(asked.products[0][0], asked.products[0][1], 10.5).recoat_from_h

    assert wait_h > 24
    assert lay_out_days(asked, cold) is None
    blocked = why_not(asked, cold)
    assert blocked.by == (
        f"the next coat not before {ceil(wait_h * 4) / 4:.1f} h at the slab's temperature",
        "the next coat down within 24.0 h of the last",
    )
    assert "the slab kept at 65 °F" in blocked.frees


def test_a_window_that_falls_into_the_night_is_blamed_on_the_hours():
    """Wait 15, close 17 h; a day of 6 h leaves 0 to 4.5 or from 18 h between the two."""
    asked = floor(1.0, 0.5, wait_h=15.0, until_h=17.0)
    short = terms(start=8, until=14)

    assert lay_out_days(asked, short) is None
    blocked = why_not(asked, short)
    assert "work from 8:00 am to 2:00 pm" in blocked.by
    assert len(blocked.by) == 3
    assert lay_out_days(asked, terms(start=8, until=23)) is not None
    wide = eased(short, dropped=frozenset({"work hours"}))
    assert lay_out_days(asked, wide) is not None


def test_each_blamed_constraint_is_needed():
    asked = floor(1.0, 0.5, wait_h=15.0, until_h=17.0)
    short = terms(start=8, until=14)
    families = {"work hours", "latest recoat", "earliest recoat"}

    for family in families:
        assert lay_out_days(asked, eased(short, dropped=frozenset({family}))) is not None


def test_a_day_off_inside_the_window_moves_both_coats_past_it():
    """Wednesday is off, so the window of a seal on Tuesday would close. And on Thursday
    it is begun at 9:00, for the next coat is down by then on Friday."""
    laid = lay_out_days(floor(1.0, 1.0), terms(days_off=("Wed",)))

    assert starts(laid) == [at(3, 9), at(4, 8)]


def test_a_deadline_blocks_and_says_how_much_later_would_do():
    late = terms(done_by=BEGIN)
    asked = floor(1.0, 1.0)

    assert lay_out_days(asked, late) is None
    blocked = why_not(asked, late)
    assert "shoes on the floor by Tue Dec 1" in blocked.by
    assert blocked.frees == ("two days more",)


def test_too_cold_to_lay_is_said_with_the_temperature():
    blocked = why_not(floor(1.0, 1.0), terms(slab_c=9.0))

    assert blocked.by[0].startswith("a slab from 50 to 90 °F, with 48 to 48 °F expected")
    assert blocked.frees == ("the slab kept at 65 °F",)


def test_days_that_come_after_a_cold_week_are_found():
    """Too cold until the seventh day: the coats follow on it and the next. By hand."""
    quarters = np.arange(4 * 24 * 120)
    slab_c = np.where(quarters < 4 * 24 * 6, 5.0, 21.0)
    asked = eased(terms(), expected=Expectation(slab_c, slab_c, ()))

    assert starts(lay_out_days(floor(1.0, 1.0), asked)) == [at(7, 9), at(8, 8)]


def test_zones_are_as_few_as_a_day_can_lay():
    """One person, two films of 16 and 8 h in a day of 10 h: two zones of 8 and 4 h."""
    laid = lay_out_days(floor(12.0, 4.0), terms(until=18))

    assert len(laid.zones) == 2
    assert sum(zone.area_m2 for zone in laid.zones) == pytest.approx(50.0)


def brute(puzzle):
    """The soonest end of all, over every start in quarters; blocks of one puzzle only."""
    best = None
    opens = [range(d.opens, d.closes) for d in puzzle.days]
    choices = [
        [
            (start, number)
            for number, day in enumerate(puzzle.days)
            if puzzle.usable[block.layer][number]
            for start in opens[number]
            if max(start, puzzle.not_before) == start and start + block.length <= day.closes
        ]
        for block in puzzle.blocks
    ]
    for chosen in every(*choices):
        if not _holds(puzzle, chosen):
            continue
        end = max(s + b.length for (s, _), b in zip(chosen, puzzle.blocks, strict=True))
        best = end if best is None else min(best, end)
    return best


def _holds(puzzle, chosen):
    placed = {
        (b.zone, b.layer): (s, s + b.length, day)
        for b, (s, day) in zip(puzzle.blocks, chosen, strict=True)
    }
    behind = {(b.zone, b.layer): b.behind_quarters for b in puzzle.blocks}
    for (zone, layer), (start, end, day) in placed.items():
        if (zone, layer + 1) in placed:
            above_start, _, _ = placed[zone, layer + 1]
            if above_start < end + puzzle.least[layer][day]:
                return False
            if above_start + behind[zone, layer + 1] > start + puzzle.most[layer][day]:
                return False
        for (near_zone, near_layer), (near_start, near_end, near_day) in placed.items():
            if near_zone <= zone or not puzzle.one_crew:
                continue
            dry = near_end + puzzle.least[near_layer][near_day]
            if layer > near_layer and not (end <= near_start or start >= dry):
                return False
            if layer == near_layer and end > near_start:
                return False
    return True


@st.composite
def puzzles(draw):
    """Two films on one or two zones in two or three short days."""
    zones = draw(st.integers(1, 2))
    days = draw(st.integers(2, 3)) if zones == 1 else 2
    hours = draw(st.integers(2, 5 if zones == 1 else 4))
    opens = [10 * n for n in range(days)]
    lengths = [draw(st.integers(1, 2)) for _ in range(2)]
    least = tuple(draw(st.integers(1, 9)) for _ in range(days))
    most = tuple(draw(st.integers(8, 30)) for _ in range(days))
    usable = tuple(draw(st.booleans()) or day == 0 for day in range(days))
    return Puzzle(
        blocks=tuple(
            Block(zone, layer, lengths[layer])
            for zone in range(zones)
            for layer in range(2)
        ),
        days=tuple(WorkDay(start, start + hours) for start in opens),
        least=(least, least),
        most=(most, most),
        usable=(usable, (True,) * days),
        not_before=draw(st.integers(0, 3)),
        not_after=10 * (days - 1) + hours,
    )


def ends(puzzle, solved):
    """When the last film is down, of a plan that holds; None where there is none."""
    if solved is None:
        return None
    assert _holds(puzzle, list(zip(solved.starts, solved.days, strict=True)))
    spent = zip(solved.starts, puzzle.blocks, strict=True)
    return max(start + block.length for start, block in spent)


@settings(max_examples=40)
@given(puzzles())
def test_no_start_by_force_ends_sooner(puzzle):
    assert ends(puzzle, pushed(puzzle)) == brute(puzzle)


@st.composite
def floors_of_zones(draw):
    """Up to three films on up to five zones, over days that are open 10 h of 24."""
    zones, films = draw(st.integers(1, 5)), draw(st.integers(1, 3))
    count = draw(st.integers(3, zones * films + 3))
    per_day = st.tuples(*[st.integers(0, 3)] * count)
    lengths = draw(st.lists(st.integers(3, 14), min_size=films, max_size=films))
    least, most = draw(st.integers(20, 60)), draw(st.integers(90, 220))
    return Puzzle(
        blocks=tuple(
            Block(zone, layer, lengths[layer], draw(st.integers(1, lengths[layer])))
            for zone in range(zones)
            for layer in range(films)
        ),
        days=tuple(WorkDay(96 * n, 96 * n + 40) for n in range(count)),
        least=tuple(tuple(least + n for n in draw(per_day)) for _ in range(films)),
        most=tuple(tuple(most - n for n in draw(per_day)) for _ in range(films)),
        usable=tuple(tuple(n > 0 for n in draw(per_day)) for _ in range(films)),
        not_before=draw(st.integers(0, 30)),
        not_after=96 * count,
        one_crew=draw(st.integers(0, 5)) > 0,
    )


@settings(max_examples=40)
@given(floors_of_zones())
def test_pushing_and_the_solver_end_alike(puzzle):
    """HiGHS through `scipy.optimize.milp` is the rival: another way to the same end."""
    assert ends(puzzle, pushed(puzzle)) == ends(puzzle, programmed(puzzle))


def test_what_pushing_cannot_tell_the_solver_does():
    """A film of the second day dries 50 quarters sooner than one of the first: laid at 20
    the next is begun at 22, laid at 0 not before 61. By hand."""
    puzzle = Puzzle(
        blocks=(Block(0, 0, 1), Block(0, 1, 1)),
        days=(WorkDay(0, 9), WorkDay(20, 29), WorkDay(60, 69)),
        least=((60, 1, 1),) * 2,
        most=((90, 90, 90),) * 2,
        usable=((True,) * 3,) * 2,
        not_before=0,
        not_after=69,
    )
    with pytest.raises(UnsettledError):
        pushed(puzzle)

    assert solve(puzzle).starts == (20, 22)


def test_films_that_no_days_can_hold_have_no_plan():
    """Days of nine quarters, 20 apart. 40 to 44 quarters after the start of a film is the
    third day; just 31 after it, the second has ended and the third not begun. By hand."""
    assert pushed(puzzle_of(1, days=3, least=39, most=45)).starts == (0, 40)
    assert pushed(puzzle_of(1, days=3, least=30, most=32)) is None


def test_a_window_just_long_enough_is_taken_and_a_shorter_one_is_not():
    """Begun at 0, down at 1, dry at 5, the next closed at 6. By hand."""
    assert pushed(puzzle_of(1, days=1, least=4, most=6)).starts == (0, 5)
    assert pushed(puzzle_of(1, days=1, least=4, most=5)) is None


def puzzle_of(zones, *, days, least, most=60):
    """Two films of a quarter each on some zones, in days that begin every 20 quarters."""
    return Puzzle(
        blocks=tuple(Block(zone, layer, 1) for zone in range(zones) for layer in range(2)),
        days=tuple(WorkDay(20 * n, 20 * n + 9) for n in range(days)),
        least=((least,) * days,) * 2,
        most=((most,) * days,) * 2,
        usable=((True,) * days,) * 2,
        not_before=0,
        not_after=20 * days,
    )


def test_the_soonest_day_is_taken_of_many():
    """Two films with two quarters between them: down after four, on the first day."""
    solved = solve(puzzle_of(1, days=4, least=2))

    assert solved.starts == (0, 3)


def test_nobody_crosses_a_film_that_is_wet():
    """The farther zone's second film waits until the nearer zone's first has dried:
    films at 0 and 1, dry at 6; without that the farther could go on at 5. By hand."""
    puzzle = puzzle_of(2, days=1, least=4)
    solved = solve(puzzle)

    assert solved.starts == (0, 6, 1, 7)
    assert brute(puzzle) == 8


CREWS = {
    "people": st.integers(1, 6),
    "start": st.integers(6, 10),
    "hours": st.integers(4, 12),
    "slab_c": st.floats(10.0, 32.0),
}


@settings(max_examples=25)
@given(
    **CREWS,
    off=st.sets(st.sampled_from(["Sat", "Sun", "Wed"]), max_size=2),
    labor=st.lists(st.floats(1.0, 20.0), min_size=2, max_size=3),
    prepare_h=st.floats(0.0, 30.0),
)
def test_no_plan_ever_recoats_early_or_late(
    people, start, hours, slab_c, off, labor, prepare_h
):
    asked = floor(*labor, prepare_h=prepare_h, wait_h=11.0)
    crew = terms(
        people=people, start=start, until=start + hours, slab_c=slab_c,
        days_off=tuple(sorted(off)),
    )  # fmt: skip
    laid = lay_out_days(asked, crew)
    assume(laid is not None)

    scaled = windows_for(*asked.products[0], slab_c)
    spent = {(b.zone, b.layer): (s / 4, (s + b.length) / 4)
             for b, s in zip(laid.blocks, laid.solved.starts, strict=True)}  # fmt: skip
    for (zone, layer), (begun, end) in spent.items():
        above = spent.get((zone, layer + 1))
        if above is not None:
            assert above[0] >= end + scaled.recoat_from_h - 1e-6
            assert above[1] <= begun + scaled.recoat_until_h + 1e-6
        hour_of_day = begun % 24
        assert start <= hour_of_day <= start + hours - (end - begun) + 1e-9


@settings(max_examples=25)
@given(
    mean_c=st.floats(11.0, 29.0),
    swing_c=st.floats(0.0, 6.0),
    end=st.integers(0, 500),
    told_h=st.floats(0.5, 30.0),
)
def test_hardening_is_added_up_quarter_by_quarter(mean_c, swing_c, end, told_h):
    """By the slower of two rules, and not at all below 50 °F; added up by a loop."""
    cure = floor(1.0).products[0][1]
    hours = np.arange(4 * 24 * 120) / 4
    slab_c = mean_c + swing_c * np.sin(hours * np.pi / 12)
    found = Expectation(slab_c, slab_c, ()).hardens(cure, end, told_h, told_c=21.0)

    grown_h, quarters = 0.0, 0
    while grown_h < told_h - 1e-9:
        now_c = slab_c[end + quarters]
        arrhenius = np.exp(55e3 / 8.314462618 * (1 / 294.15 - 1 / (now_c + 273.15)))
        doubling = 2 ** ((now_c - 21) / 10)
        grown_h += min(arrhenius, doubling) / 4 if now_c >= 10.0 else 0.0
        quarters += 1
    assert found == pytest.approx(quarters, abs=1)


@pytest.mark.parametrize(("warm", "is_sooner"), [(39, False), (40, True), (41, True)])
def test_one_warm_quarter_inside_a_window_closes_it_sooner(warm, is_sooner):
    """Begun between 40 and 44: open for as long as it were in that warmth throughout."""
    product, cure = floor(1.0).products[0]
    warm_c = np.full(500, 20.0)
    warm_c[warm] = 31.0
    (closes,) = Expectation(warm_c, warm_c, ()).close_from(cure, [(40, 44)], 24.0)

    steady_h = windows_for(product, cure, 31.0 if is_sooner else 20.0).recoat_until_h
    assert closes == int(steady_h * 4)
    last = 44 + 24 * 4 - 1
    for quarter, closed_c in ((last, 31.0), (last + 1, 20.0)):
        warm_c = np.where(np.arange(500) == quarter, 31.0, 20.0)
        (closes,) = Expectation(warm_c, warm_c, ()).close_from(cure, [(40, 44)], 24.0)
        assert closes == int(windows_for(product, cure, closed_c).recoat_until_h * 4)


@settings(max_examples=20)
@given(
    mean_c=st.floats(12.0, 29.0),
    swing_c=st.floats(0.0, 6.0),
    drift_c=st.floats(-0.5, 0.5),
    people=st.integers(1, 4),
)
def test_a_slab_that_swings_and_drifts_is_waited_for(mean_c, swing_c, drift_c, people):
    """Hardening is added up again here, hour by hour, by the slower of two rules."""
    hours = np.arange(4 * 24 * 120) / 4
    slab_c = mean_c + swing_c * np.sin(hours * np.pi / 12) + drift_c * hours / 24
    expected = Expectation(slab_c, slab_c + 2.0, ())
    asked = floor(6.0, 9.0, 5.0, wait_h=11.0)
    laid = lay_out_days(asked, eased(terms(people=people), expected=expected))
    assume(laid is not None)

    spent = {(b.zone, b.layer): (s, s + b.length)
             for b, s in zip(laid.blocks, laid.solved.starts, strict=True)}  # fmt: skip
    for (zone, layer), (begun, end) in spent.items():
        assert slab_c[begun:end].min() >= 10.0
        assert slab_c[begun:end].max() + 2.0 <= 32.0
        above = spent.get((zone, layer + 1))
        if above is None:
            continue
        waited_c = slab_c[end : above[0]]
        kelvin = 1 / 294.15 - 1 / (waited_c + 273.15)
        rates = np.minimum(np.exp(55e3 / 8.314462618 * kelvin), 2 ** ((waited_c - 21) / 10))
        grown_h = np.where(waited_c >= 10.0, rates, 0.0).sum() / 4
        assert grown_h >= 11.0 - 1e-6
        assert above[1] <= begun + 24 * 4


@settings(max_examples=25)
@given(people=st.integers(1, 5), slab_c=st.floats(11.0, 28.0))
def test_one_more_person_never_makes_a_floor_impossible(people, slab_c):
    asked = floor(9.0, 12.0, 8.0, prepare_h=10.0)
    few = lay_out_days(asked, terms(people=people, slab_c=slab_c))
    assume(few is not None)

    more = lay_out_days(asked, terms(people=people + 1, slab_c=slab_c))
    assert more is not None
    assert len(more.zones) <= len(few.zones)


def test_two_who_pour_and_one_who_mixes_do_4000_square_feet_in_days(loft):
    """Common practice, no source: a floor of this size is a matter of days."""
    plans = planned(*loft, people=3, days_off=())
    plan = plans.shortest

    assert faults(plan, days_off=()) == []
    assert 6 <= (plan.last_coat.date() - BEGIN).days + 1 <= 8
    assert sum(zone.area_m2 for zone in plan.zones) == pytest.approx(loft[1].takeoff.net_m2)


@pytest.mark.parametrize("people", [2, 3, 4, 6])
def test_every_coat_of_the_loft_falls_inside_its_window(loft, people):
    plans = planned(*loft, people=people)

    for plan in (plans.shortest, plans.comfortable):
        if plan is not None:
            assert faults(plan) == []


def test_the_demo_takes_as_many_days_of_work_as_its_bid_counts(demo_job, demo_workup):
    days = days_of(demo_job, demo_workup)
    done = [day.slots[0].activity for day in days.plans.shortest.days]

    assert len(done) - done.count("walk_through") == demo_workup.work.days
    assert faults(days.plans.shortest) == []
    assert days.plans.comfortable is not None


def test_a_comfortable_plan_keeps_its_spare_and_no_more_zones(demo_job, demo_workup):
    plans = days_of(demo_job, demo_workup).plans

    assert plans.comfortable.spare_h > 0
    assert len(plans.comfortable.zones) <= len(plans.shortest.zones)
    for slot in plans.comfortable.slots:
        if slot.window is not None:
            spare_h = (slot.window.latest - slot.end).total_seconds() / 3600
            assert spare_h >= plans.comfortable.spare_h


def test_days_that_the_bid_does_not_count_are_told(loft, demo_job, demo_workup):
    assert days_of(demo_job, demo_workup).concerns == ()
    (concern,) = days_of(*loft).concerns

    assert concern.about == "days"
    assert f"the bid counts {loft[1].work.days}" in concern.says


def test_the_same_sheet_makes_the_same_plan(demo_job, demo_workup):
    assert days_of(demo_job, demo_workup) == days_of(demo_job, demo_workup)


def test_a_warmer_slab_never_makes_shoes_wait_longer(demo_job, demo_workup):
    from kit.work.planning import terms_of

    w = demo_workup
    asked = floor_of(w.plan, w.takeoff, w.system, w.work, SHELF)
    crew = terms_of(demo_job.site, SHELF, begin=BEGIN)
    waits = []
    for slab_c in (14.0, 18.0, 22.0, 25.0):
        cure = asked.products[-1][1]
        waits.append(steady(slab_c).hardens(cure, 40, cure.walk_on_h, told_c=25.0))
        assert lay_out_days(asked, eased(crew, expected=steady(slab_c))) is not None
    assert waits == sorted(waits, reverse=True)
