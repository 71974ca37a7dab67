"""Which cautions are told: each trigger on its own, and what is always said."""

from dataclasses import dataclass
from typing import get_args

import pytest

from kit.stock import cautions_for, read_shelf, terms_for
from kit.stock.cautions import Trigger
from kit.stock.telling import TRIGGERS

SHELF = read_shelf()


@dataclass(frozen=True)
class Slab:
    below_grade: bool = False
    painted: bool = False
    old_flooring: bool = False


@dataclass(frozen=True)
class Place:
    year_built: int | None = 2005
    slab: Slab = Slab()


def told(place=None, finish="matte"):
    cautions = cautions_for(place or Place(), SHELF.finish(finish), SHELF)
    return {caution.key for caution in cautions}


def test_every_trigger_has_a_meaning_and_a_caution():
    assert set(TRIGGERS) == set(get_args(Trigger))
    assert {caution.trigger for caution in SHELF.cautions} == set(TRIGGERS)


def test_some_things_are_always_said():
    always = {
        *("picture", "cure", "epoxy_skin", "silica", "moisture"),
        "right_to_cancel",
    }
    terms = {"sample_board", "found_later", "changes", "product_sheets", "license"}

    for finish in SHELF.finishes:
        assert always <= told(finish=finish.key)
        assert terms <= {term.key for term in terms_for(Place(), finish, SHELF)}


@pytest.mark.parametrize(
    ("key", "place", "finish", "due"),
    [
        ("slip_gloss", Place(), "gloss", True),
        ("slip_gloss", Place(), "matte", False),
        ("slip_smooth", Place(), "matte", True),
        ("slip_smooth", Place(), "matte_grip", False),
        ("slip_smooth", Place(), "gloss", False),
        ("isocyanate", Place(), "satin", True),
        ("isocyanate", Place(), "gloss", False),
        ("sunlight", Place(), "gloss", True),
        ("sunlight", Place(), "matte", False),
        ("below_grade", Place(slab=Slab(below_grade=True)), "matte", True),
        ("below_grade", Place(), "matte", False),
        ("old_coating", Place(slab=Slab(painted=True)), "matte", True),
        ("old_coating", Place(), "matte", False),
        # Lead: painted surfaces of before 1978, 40 CFR 745, from memory.
        ("lead", Place(year_built=1977), "matte", True),
        ("lead", Place(year_built=1978), "matte", False),
        ("lead", Place(year_built=None), "matte", True),
        # Resilient flooring of no later than 1980 is presumed asbestos, 29 CFR 1926.1101.
        ("asbestos", Place(year_built=1980), "matte", True),
        ("asbestos", Place(year_built=1981), "matte", False),
        ("asbestos", Place(year_built=1981, slab=Slab(old_flooring=True)), "matte", True),
        ("asbestos", Place(year_built=None), "matte", True),
    ],
)
def test_a_caution_is_told_when_it_is_due_and_only_then(key, place, finish, due):
    assert (key in told(place, finish)) is due


@pytest.mark.parametrize("caution", SHELF.cautions, ids=lambda c: c.key)
def test_words_are_whole_sentences_that_promise_no_slip_value(caution):
    assert caution.says.endswith(".")
    assert "0.42" not in caution.says
    assert "guarantee" not in caution.says.lower()
