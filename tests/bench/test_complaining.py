"""Complaints are sentences of a person, and name what was given and what is wanted."""

import pytest

from kit.bench.complaining import beside, sentence, spoken_field
from kit.bench.paper_choices import with_words
from kit.errors import KitError, SheetError
from kit.job import blank_job
from kit.record import filled
from kit.site import Client

RANGE = "a length from 1′ 0″ to 50′ 0″"


@pytest.mark.parametrize(
    ("about", "found", "typed", "alone", "near"),
    [
        ("width", "-3 ft", "-3 ft", f"Width is -3 ft. Give {RANGE}.",
         f"-3 ft cannot be used. Give {RANGE}."),
        ('room "Den", wall 3', "long", " long ", f"Wall 3 of Den is “long”. Give {RANGE}.",
         f"“long” cannot be used. Give {RANGE}."),
        ('room "Den", wall 2', "far", "12, far", f"Wall 2 of Den is “far”. Give {RANGE}.",
         f"“far” cannot be used. Give {RANGE}."),
        ("client, name", "", "", f"The client's name is empty. Give {RANGE}.",
         f"This cannot be empty. Give {RANGE}."),
        ("way out", "no wall here", "12.5", f"Way out: no wall here. Needed: {RANGE}.",
         f"No wall here. Needed: {RANGE}."),
    ],
)  # fmt: skip
def test_a_complaint_is_said_alone_and_beside_its_field(about, found, typed, alone, near):
    error = SheetError(about, found=found, expected=RANGE)
    assert sentence(error, [typed, 3, True, None]) == alone
    assert beside(error, [typed, 3, True, None]) == near


def test_what_is_missing_is_only_called_empty():
    with pytest.raises(KitError) as told:
        filled(Client, {})
    assert sentence(told.value) == "Name is empty."
    with pytest.raises(KitError) as told:
        with_words(blank_job(), "firm, name", " ")
    assert beside(told.value, [" "]) == "This cannot be empty."


def test_a_plain_sentence_stays_as_it_is():
    assert sentence(KitError("The list is shut.")) == "The list is shut."
    assert beside(KitError("the list is shut")) == "The list is shut."


def test_fields_are_named_as_a_person_names_them():
    assert spoken_field('room "Den", column 1, across') == "Column 1 of Den, across"
    assert spoken_field("job, valid_days") == "Valid days"
    assert spoken_field('room "Den"') == "Den"
