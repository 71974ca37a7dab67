"""What can be mixed, and what is said when it cannot."""

from __future__ import annotations

import subprocess
import sys

import pytest
from pydantic import ValidationError

from kit.errors import SheetError
from kit.knobs import knobs_of
from kit.pour.motions import every_motion, usual_motions
from kit.pour.palette import Palette
from kit.pour.recipe import Flow, Recipe
from kit.record import filled


def mixed(*colours: tuple[str, float]) -> Palette:
    table = [{"pigment": name, "share": share} for name, share in colours]
    return Palette.model_validate({"colours": table, "tint": "soot"})


def test_shares_that_fall_short_say_what_they_sum_to():
    with pytest.raises(SheetError) as refused:
        mixed(("deep", 0.5), ("kelp", 0.45))
    assert refused.value.about == "floor, color"
    assert "0.95 in all" in str(refused.value.found)
    assert refused.value.expected == "shares that sum to 1"


def test_shares_may_stray_by_less_than_a_millionth():
    assert mixed(("deep", 1 / 3), ("kelp", 1 / 3), ("gull", 0.3333335)).shares[0] == 1 / 3


def test_one_colour_is_no_metallic_floor():
    with pytest.raises(SheetError, match=r"one color only.*2 to 6 colors"):
        mixed(("deep", 1.0))


def test_seven_colours_are_too_many():
    names = ("deep", "kelp", "gull", "rust", "sand", "slate", "plum")
    with pytest.raises(SheetError, match="7 colors"):
        mixed(*((name, 1 / 7) for name in names))


def test_a_pigment_is_not_taken_twice():
    with pytest.raises(SheetError, match="deep twice"):
        mixed(("deep", 0.5), ("deep", 0.5))


@pytest.mark.parametrize("share", [0.0, -0.2, float("nan"), float("inf")])
def test_a_share_is_a_number_above_nothing(share):
    with pytest.raises(ValidationError):
        mixed(("deep", share), ("kelp", 1.0))


@pytest.mark.parametrize("seed", [-1, 2**31, 1.5, "seven"])
def test_a_seed_is_a_whole_number_of_31_bits(seed):
    with pytest.raises(ValidationError):
        Recipe(palette=mixed(("deep", 0.5), ("kelp", 0.5)), seed=seed)


def test_a_recipe_is_read_back_as_it_was_stored():
    first = Recipe(palette=mixed(("deep", 0.5), ("kelp", 0.5)), seed=3, flow=Flow(veil=0.4))
    again = Recipe.model_validate_json(first.model_dump_json())
    assert again == first
    assert again.flow.motions == usual_motions()


def test_a_chosen_motion_is_kept_with_its_knobs():
    chosen = [{"kind": "swirl", "turns": 1.5}, {"kind": "flick"}, {"kind": "squeegee"}]
    flow = Flow.model_validate({"motions": chosen})
    again = Flow.model_validate_json(flow.model_dump_json())
    assert [motion.kind for motion in again.motions] == ["swirl", "flick", "squeegee"]
    assert again.motions[0].turns == 1.5


def test_an_unknown_motion_is_named():
    with pytest.raises(SheetError, match=r"stamping.*expected one of .*currents"):
        Flow.model_validate({"motions": [{"kind": "stamping"}]})


def test_every_knob_speaks_for_itself():
    """Screens show nothing but what the knob carries, so it must carry it."""
    for record in (Flow, *every_motion()):
        for knob in knobs_of(record):
            assert knob.says.endswith((".", "]")), knob.name
            assert knob.low < knob.start < knob.high or knob.low <= knob.start, knob.name
            assert len(set(knob.ends)) == 2, knob.name


def test_a_price_can_read_the_recipe_without_the_compiler():
    line = "import sys, kit.pour.palette, kit.pour.recipe; print('numba' in sys.modules)"
    run = subprocess.run(
        [sys.executable, "-c", line], capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == "False"


EVERY_KNOB = [(kind, knob) for kind in (Flow, *every_motion()) for knob in knobs_of(kind)]


@pytest.mark.parametrize(
    ("kind", "knob"), EVERY_KNOB, ids=[f"{k.__name__}-{n.name}" for k, n in EVERY_KNOB]
)
def test_no_knob_is_turned_past_its_ends(kind, knob):
    """Nor to NaN or without end; the complaint names the knob."""
    for wrong in (knob.low - 0.01, knob.high + 0.01, float("nan"), float("inf"), "much"):
        with pytest.raises(SheetError) as refused:
            filled(kind, {knob.name: wrong})
        assert refused.value.about == knob.name
        assert refused.value.expected
    for right in (knob.low, knob.high):
        assert getattr(filled(kind, {knob.name: right}), knob.name) == right


def test_a_floor_is_worked_in_one_to_twelve_passes():
    for passes in (0, 13):
        with pytest.raises(SheetError, match="motions"):
            filled(Flow, {"motions": [{"kind": "trowel"}] * passes})
