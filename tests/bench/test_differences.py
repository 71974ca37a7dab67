"""What a choice changes of the price, in words: no sum of nothing, and why less."""

from dataclasses import replace
from decimal import Decimal

import pytest

from kit.bench.differences import less_words
from kit.bench.extras import extra_figures
from kit.bench.figures import Shown, figures_of
from kit.bench.sizes import Sizes
from kit.job import workup
from kit.stock import read_shelf

SHELF = read_shelf()


@pytest.fixture(scope="module")
def answers(demo_job):
    return workup(demo_job)


def said(offer, **instead):
    """Why each finish is asked less for, with other sums in place of some."""
    options = tuple(
        replace(one, total=instead.get(one.finish, one.total)) for one in offer.options
    )
    offer = replace(offer, options=options)
    return {one.finish: less_words(one, offer, SHELF) for one in options}


def test_a_glossier_finish_that_is_asked_less_for_says_why_and_no_other_does(answers):
    offer = answers.offer
    ten, twelve = Decimal(10), Decimal(12)
    dear = {"matte": ten, "matte_grip": twelve, "satin": ten + 1, "gloss": twelve + 1}
    assert said(offer, **(dear | {"satin": ten - 1}))["satin"] == (
        "another product than matte, at a lower price"
    )
    assert said(offer, **dear)["satin"] == (
        "another product than matte with grip, at a lower price"
    )
    assert not any(said(offer, **(dear | {"satin": twelve})).values())
    # one product in two finishes: the price has another reason
    assert said(offer, **(dear | {"matte": ten - 2}))["matte"] == ""


def test_nothing_more_to_pay_is_never_told_as_a_sum(demo_job, answers):
    nothing = tuple(replace(o, difference=Decimal(0)) for o in answers.offer.options)
    free = tuple(replace(e, difference=Decimal(0)) for e in answers.offer.extras)
    offer = replace(answers.offer, options=nothing, extras=free)
    shown = replace(Shown.of(answers), offer=offer)
    figures = figures_of(demo_job, shown, SHELF, can_undo=False, can_redo=False)
    for one in figures["options"]:
        assert (one["difference"], one["amount"]) == ("no difference", "")
    for row in extra_figures(offer, SHELF, Sizes.of(demo_job)):
        assert row["difference"] == "no difference"
