"""What cannot be said: no field, no type and no name for the owner's side."""

from __future__ import annotations

import dataclasses
import inspect
from decimal import Decimal
from types import SimpleNamespace

import pytest

from kit.errors import PaperError
from kit.press.showing import Shown, declared_fields, texts
from kit.proposal import shown

OWNERS_WORDS = (
    "cost",
    "margin",
    "overhead",
    "rate",
    "hour",
    "wage",
    "risk",
    "markup",
    "profit",
)
PARTS = [
    part
    for _, part in inspect.getmembers(shown, inspect.isclass)
    if issubclass(part, Shown) and part is not Shown
]


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.__name__)
def test_no_field_is_named_for_the_owners_side(part):
    for name in declared_fields(part):
        assert not any(word in name for word in OWNERS_WORDS), name


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.__name__)
def test_no_field_takes_anything_at_all(part):
    for declared in declared_fields(part).values():
        assert declared not in (object, dict, list)
        assert "Any" not in str(declared)


def test_an_unknown_name_is_refused(full_view):
    with pytest.raises(TypeError, match="internal_cost"):
        dataclasses.replace(full_view, internal_cost="CANARY")


def test_a_part_cannot_be_given_more_attributes(full_view):
    with pytest.raises((AttributeError, TypeError)):
        object.__setattr__(full_view, "internal_cost", "CANARY")


@pytest.mark.parametrize(
    "value", [Decimal("1.00"), 4846.2, 4846, None, ["$4,846.20"], b"$4"]
)
def test_a_figure_that_is_not_formatted_text_is_refused(full_view, value):
    with pytest.raises(PaperError, match=r"Price, total.*expected formatted text"):
        dataclasses.replace(full_view.price, total=value)


def test_a_record_of_the_owners_is_refused_where_a_part_belongs(full_view):
    line = SimpleNamespace(label="CANARY", amount=Decimal(1))
    with pytest.raises(PaperError, match="options"):
        dataclasses.replace(full_view.price, options=(*full_view.price.options, line))


def test_a_subclass_that_carries_more_is_refused(full_view):
    class Loaded(str):
        secret = "CANARY"

    with pytest.raises(PaperError, match="Client, name"):
        dataclasses.replace(full_view.client, name=Loaded("Slipway Pottery"))

    @dataclasses.dataclass(frozen=True)
    class LoadedClient(shown.Client):
        secret: str = "CANARY"

    with pytest.raises(PaperError, match="ClientView, client"):
        dataclasses.replace(full_view, client=LoadedClient("Slipway Pottery"))


def test_every_text_of_the_view_is_found_with_its_field(full_view):
    found = dict(texts(full_view))
    assert found["client, name"] == "Slipway Pottery"
    assert found["price, options 2, name"] == "Gloss"
    assert found["scope_in 1"] == "Grinding the slab"
    assert found["plan, drawing, alt"] == "Floor plan of two rooms."
