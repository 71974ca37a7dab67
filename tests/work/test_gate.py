"""The site gate: limits, guard bands, law, and that nothing passes unread.

Limits are common ones; sources stand with them on the shelf. OSHA's Table 1 from a trade
reprint, its respirator column from memory; 40 CFR 745.83 as EPA quotes it; 29 CFR
1926.1101(k) as summaries have it.
"""

import datetime
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from plans import SHELF

from kit.errors import SheetError
from kit.job import workup
from kit.job.days import days_of
from kit.record import filled
from kit.site import Climate, Reading
from kit.stock import cautions_for
from kit.stock.records import Bound
from kit.work.gate import gate_for
from kit.work.gate_climate import guarded
from kit.work.gate_law import (
    ACTION_UG_M3,
    EXPOSURE_UG_M3,
    counts_as_asbestos,
    lead_rule_applies,
    respirator_factor,
)

RH = {"kind": "rh", "value": 70, "unit": "%", "where": "den", "day": "2026-11-20"}


@pytest.fixture(scope="module")
def gate(demo_job, demo_workup):
    """The gate of the demo with its slab, building, climate or crew changed."""

    def made(*, slab=None, year=..., climate=None, crew=None, extras=None):
        site = demo_job.site
        if slab is not None:
            site = site.changed(slab=site.slab.changed(**slab))
        if year is not ...:
            site = site.changed(building=site.building.changed(year_built=year))
        if climate is not None:
            site = site.changed(climate=filled(Climate, climate))
        if crew is not None:
            site = site.changed(crew=site.crew.changed(**crew))
        w = demo_workup
        if extras is not None:
            w = workup(demo_job.changed(extras=extras))
        return gate_for(site, w.takeoff, w.system, w.work, SHELF)

    return made


def readings(*figures, **others):
    return {"readings": [filled(Reading, RH | {"value": f} | others) for f in figures]}


def air(air_c=20.0, percent=50, slab_c=18.0, **within):
    row = {
        "at": "2026-11-24T08:00:00", "where": "corner", "air": f"{air_c} °C",
        "humidity": f"{percent} %", "slab": f"{slab_c} °C",
    }  # fmt: skip
    return {"reading": [row], **within}


def test_nothing_passes_unread(gate):
    found = gate(slab={"readings": ()}, climate={})

    assert found.verdict == "stop"
    for key in ("rh", "slab_temperature", "humidity", "dew_margin"):
        assert found.check(key).verdict == "stop"
        assert "not read" in found.check(key).found
        assert found.check(key).do
    for key in ("pull_off", "ph", "profile"):
        assert found.check(key).verdict == "marginal"


@pytest.mark.parametrize(
    ("figure", "verdict"),
    [(75, "pass"), (75.1, "marginal"), (80, "marginal"), (80.1, "stop")],
)
def test_humidity_in_the_slab_passes_to_75_and_is_borne_to_80(gate, figure, verdict):
    assert gate(slab=readings(60, 60, figure)).check("rh").verdict == verdict


@pytest.mark.parametrize(
    ("figure", "verdict"),
    [(3.0, "pass"), (3.1, "marginal"), (5.0, "marginal"), (5.1, "stop")],
)
def test_vapor_passes_to_3_and_is_borne_to_5_pounds(gate, figure, verdict):
    slab = readings(1.0, 1.0, figure, kind="mver", unit="lb/1000 sq ft 24 h")

    assert gate(slab=slab).check("mver").verdict == verdict


def test_too_few_tests_for_the_area_are_never_a_pass(gate):
    few, enough = (gate(slab=readings(*[60] * n)).check("rh") for n in (2, 3))

    assert (few.verdict, enough.verdict) == ("marginal", "pass")
    assert "ask for 3: read 1 more" in few.do


def test_a_dry_sheet_does_not_stand_in_for_a_reading(gate):
    dry = readings(0, 0, kind="sheet", unit="")
    found = gate(slab=dry)
    wet = gate(slab=readings(0, 1, kind="sheet", unit=""))

    assert found.check("sheet").verdict == "marginal"
    assert found.check("rh").verdict == "stop"
    assert wet.check("sheet").verdict == "stop"


def test_a_primer_with_a_limit_of_its_own_governs_what_it_lies_on(gate):
    damp = readings(88, 90, 85)
    bare = gate(slab=damp).check("rh")
    primed = gate(slab=damp, extras=("moisture_primer",)).check("rh")

    assert bare.verdict == "stop"
    assert primed.verdict == "pass"
    assert "at most 95 %, Moisture-mitigation epoxy" in primed.limit


@pytest.mark.parametrize(
    ("extras", "chip", "verdict"),
    [
        *(((), 1, "pass"), ((), 3, "pass"), ((), 4, "stop")),
        *((("moisture_primer",), 2, "stop"), (("moisture_primer",), 3, "pass")),
        (("moisture_primer",), 5, "pass"),
    ],
)
def test_the_film_asks_for_its_profile(gate, extras, chip, verdict):
    """ICRI 310.2R from memory: 4 to 10 mil CSP 1 to 3, 10 to 40 mil CSP 3 to 5."""
    slab = readings(chip, kind="profile", unit="CSP")

    assert gate(slab=slab, extras=extras).check("profile").verdict == verdict


def test_a_self_leveling_film_asks_for_a_rougher_slab():
    films = {p.up_to_mil: (p.least, p.most) for p in SHELF.limit("profile").by_film}

    assert films[10.0] == (1, 3)
    assert films[40.0] == (3, 5)
    assert films[125.0] == (4, 6)


@pytest.mark.parametrize(
    ("psi", "verdict"), [(150, "stop"), (200, "marginal"), (210, "marginal"), (220, "pass")]
)
def test_weak_concrete_carries_no_floor(gate, psi, verdict):
    slab = readings(300, 300, psi, kind="pull_off", unit="psi")

    assert gate(slab=slab).check("pull_off").verdict == verdict


@pytest.mark.parametrize(
    ("slab_c", "verdict"),
    [(13.9, "stop"), (14.1, "marginal"), (15.0, "marginal"), (15.9, "marginal"),
     (16.1, "pass")],
)  # fmt: skip
def test_a_margin_within_the_guard_is_marginal_on_either_side(gate, slab_c, verdict):
    """20 °C, 60 %: dew point 12.00 °C, guard 1.02 °C, so 3 °C is unsure from 13.98 to
    16.02 °C."""
    found = gate(climate=air(20.0, 60, slab_c)).check("dew_margin")

    assert found.verdict == verdict
    assert "give or take 1.8 °F" in found.found
    assert "Alduchov and Eskridge 1996" in found.source


@pytest.mark.parametrize(
    ("slab_c", "verdict"),
    [(9.0, "stop"), (9.8, "marginal"), (12.0, "marginal"), (18.0, "pass"), (33.0, "stop")],
)
def test_a_slab_too_cold_or_too_warm_is_not_coated(gate, slab_c, verdict):
    """50 to 90 °F are borne, 60 to 85 pass; the thermometer is good to 0.5 °C."""
    found = gate(climate=air(slab_c, 30, slab_c)).check("slab_temperature")

    assert found.verdict == verdict


@pytest.mark.parametrize(
    ("percent", "verdict"), [(81, "pass"), (84, "marginal"), (89, "stop")]
)
def test_air_above_85_percent_stops(gate, percent, verdict):
    assert gate(climate=air(20, percent, 20)).check("humidity").verdict == verdict


@settings(max_examples=50)
@given(st.floats(-5, 15), st.floats(0.01, 3), st.floats(0, 3))
def test_a_better_figure_or_a_better_meter_is_never_a_worse_verdict(figure, guard, more):
    order = ("pass", "marginal", "stop")
    over = Bound(least=3.0)
    verdict = guarded(figure, guard, over, over)

    assert order.index(guarded(figure + more, guard, over, over)) <= order.index(verdict)
    if verdict == "pass":
        assert figure - guard >= 3.0 - 1e-6
        assert guarded(figure, guard / 2, over, over) == "pass"


def forecast(job, *, hours, air_c="20 °C", percent="50 %", slab="18 °C"):
    start = datetime.datetime(2026, 12, 1)
    rows = [
        {"at": start + datetime.timedelta(hours=h), "air": air_c, "humidity": percent,
         "slab": slab} for h in hours
    ]  # fmt: skip
    climate = filled(Climate, {**air(), "forecast": rows})
    return job.changed(site=job.site.changed(climate=climate))


def test_the_margin_is_held_through_the_cure(demo_job, demo_workup):
    fine = days_of(forecast(demo_job, hours=range(0, 240, 4)), demo_workup)
    damp = days_of(forecast(demo_job, hours=range(0, 240, 4), percent="88 %"), demo_workup)
    short = days_of(forecast(demo_job, hours=range(0, 48, 4)), demo_workup)

    assert fine.gate.check("through_cure").verdict == "pass"
    assert damp.gate.check("through_cure").verdict == "stop"
    assert short.gate.check("through_cure").verdict == "marginal"
    assert (
        "the forecast runs 2026-12-01 00:00 to 2026-12-02 20:00"
        in short.gate.check("through_cure").found
    )


def test_one_damp_night_in_the_forecast_is_found(demo_job, demo_workup):
    job = forecast(demo_job, hours=range(0, 240, 4))
    rows = [
        row.changed(humidity="95 %") if row.at == datetime.datetime(2026, 12, 3, 4) else row
        for row in job.site.climate.forecast
    ]
    climate = job.site.climate.changed(forecast=rows)
    job = job.changed(site=job.site.changed(climate=climate))

    check = days_of(job, demo_workup).gate.check("through_cure")
    assert check.verdict == "stop"
    assert "Thu 2026-12-03 04:00" in check.found


def test_a_forecast_with_a_gap_makes_no_plan(demo_job, demo_workup):
    job = forecast(demo_job, hours=(*range(0, 24, 4), *range(30, 240, 4)))

    with pytest.raises(SheetError, match=r"climate, forecast: found nothing between"):
        days_of(job, demo_workup)


def test_an_unplaced_reading_makes_no_plan(demo_job, demo_workup):
    slab = demo_job.site.slab.changed(**readings(70, 70, 70, where=""))
    job = demo_job.changed(site=demo_job.site.changed(slab=slab))

    with pytest.raises(SheetError, match=r"slab, reading 1, where: found nothing"):
        days_of(job, demo_workup)


@pytest.mark.parametrize(
    ("ft2", "indoors", "applies"),
    [(6, True, False), (6.5, True, True), (20, False, False), (20.5, False, True)],
)
def test_old_paint_above_six_square_feet_is_for_a_certified_firm(ft2, indoors, applies):
    assert lead_rule_applies(ft2, indoors=indoors) is applies


@pytest.mark.parametrize(
    ("year", "painted", "verdict"),
    [
        (1977, True, "stop"),
        (1978, True, "pass"),
        (1977, False, "pass"),
        (None, True, "stop"),
    ],
)
def test_a_painted_slab_from_before_1978_stops_until_it_is_tested(
    gate, year, painted, verdict
):
    slab = {"painted": painted}
    found = gate(slab=slab, year=year).check("lead")
    assert found.verdict == verdict
    if verdict == "stop":
        assert "certified" in found.do
        clean = readings(0, kind="lead", unit="")["readings"]
        tested = gate(slab={**slab, "readings": clean}, year=year)
        assert tested.check("lead").verdict == "pass"


@pytest.mark.parametrize(
    ("year", "flooring", "counts"),
    [(1980, True, True), (1981, True, False), (1980, False, False), (None, True, True)],
)
def test_flooring_up_to_1980_counts_as_asbestos(gate, year, flooring, counts):
    assert counts_as_asbestos(year, has_flooring=flooring) is counts
    found = gate(slab={"old_flooring": flooring}, year=year).check("asbestos")
    assert found.verdict == ("stop" if counts else "pass")
    if counts:
        kept = readings(70, 70, 70)["readings"]
        for figure, verdict in ((0, "pass"), (1, "stop")):
            lab = readings(figure, kind="asbestos", unit="")["readings"]
            slab = {"old_flooring": True, "readings": kept + lab}
            assert gate(slab=slab, year=year).check("asbestos").verdict == verdict


def test_silica_limits_and_steps():
    assert (EXPOSURE_UG_M3, ACTION_UG_M3) == (50, 25)
    crew = SHELF.caution("silica").crew
    assert "No dry sweeping" in crew
    assert "compressed air" in crew


@pytest.mark.parametrize(("wheel_in", "cfm"), [(4.5, 112.5), (5, 125), (7, 175)])
def test_a_hand_grinder_draws_25_cfm_for_each_inch(wheel_in, cfm):
    control = next(one for one in SHELF.dust if one.key == "edge_grinder")

    assert control.changed(wheel_in=wheel_in).flow_cfm == pytest.approx(cfm, abs=1e-9)


@pytest.mark.parametrize(
    ("tool", "hours", "indoors", "factor"),
    [
        *(("edge_grinder", 4.0, True, 0), ("edge_grinder", 4.1, True, 10)),
        *(("edge_grinder", 8.0, False, 0), ("floor_grinder", 8.0, True, 0)),
    ],
)
def test_respirators_by_tool_and_hours(tool, hours, indoors, factor):
    control = next(one for one in SHELF.dust if one.key == tool)

    assert respirator_factor(control, hours, indoors=indoors) == factor


def test_dust_controls_pass_only_once_they_were_checked(gate):
    for ready, verdict in ((False, "marginal"), (True, "pass")):
        found = gate(crew={"dust_control": ready})
        assert found.check("floor_grinder").verdict == verdict
        assert found.check("edge_grinder").verdict == verdict
    assert "99 %" in found.check("floor_grinder").do
    assert "175 cfm" in found.check("edge_grinder").do


@pytest.mark.parametrize(
    ("grams", "verdict"),
    [(50, "pass"), (51, "marginal"), (400, "marginal"), (401, "stop"), (None, "marginal")],
)
def test_solvent_is_held_to_the_strictest_and_the_federal_limit(
    demo_job, demo_workup, grams, verdict
):
    """400 g/l federal, 50 g/l in the strictest district; from memory, rules change."""
    coats = tuple(
        replace(coat, product=coat.product.changed(voc_g_per_l=grams))
        for coat in demo_workup.system.coats
    )
    w = demo_workup
    system = replace(w.system, coats=coats)
    found = gate_for(demo_job.site, w.takeoff, system, w.work, SHELF)

    assert found.check("voc_seal_epoxy").verdict == verdict


def test_a_pound_a_gallon_in_grams_a_liter():
    assert pytest.approx(119.826427, abs=1e-6) == 453.59237 / 3.785411784
    federal_lb = SHELF.limit("voc").bears_to / (453.59237 / 3.785411784)
    assert federal_lb == pytest.approx(3.3, abs=0.05)


def test_sensitizers_are_told_to_whoever_handles_them(demo_job):
    told = {c.key: c for c in cautions_for(demo_job.site, SHELF.finish("matte"), SHELF)}

    assert "Gloves" in told["epoxy_skin"].crew
    assert "asthma" in told["isocyanate"].crew
    gloss = {c.key for c in cautions_for(demo_job.site, SHELF.finish("gloss"), SHELF)}
    assert "isocyanate" not in gloss
    assert "epoxy_skin" in gloss
