"""What two states of a job differ in is named as a person would."""

from __future__ import annotations

import pytest

from kit.book.differences import changed_fields, listed

BEFORE = {
    "finish": "matte",
    "site": {"room": [{"name": "Hall", "walls": ["E 4'"]}, {"name": "Store"}]},
}


@pytest.mark.parametrize(
    ("after", "names"),
    [
        (BEFORE, ()),
        (BEFORE | {"finish": "gloss"}, ("finish",)),
        (BEFORE | {"seed": 7}, ("seed",)),
        ({"site": BEFORE["site"]}, ("finish",)),
        (BEFORE | {"site": {"room": [{"name": "Hall"}]}}, ("site, room",)),
        (
            {"site": {"room": [{"name": "Hall", "walls": ["E 5'"]}, {"name": "Store"}]}},
            ("finish", 'site, room "Hall", walls 1'),
        ),
    ],
)
def test_each_changed_field_is_named_by_where_it_stands(after, names):
    assert changed_fields(BEFORE, after) == names


def test_more_than_a_few_names_are_counted():
    assert listed(("a", "b")) == "a; b"
    assert listed(("a", "b", "c", "d", "e")) == "a; b; c and 2 more"


def test_a_field_that_there_was_not_yet_is_no_difference_while_it_is_empty():
    before, after = {"slab": {"cracks": "0 ft"}}, {"slab": {"cracks": "0 ft", "joint": []}}

    assert changed_fields(before, after) == changed_fields(after, before) == ()
    after["slab"]["joint"].append({"length": "9 ft"})
    assert changed_fields(before, after) == ("slab, joint",)
