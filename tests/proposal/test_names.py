"""What the paper cannot print is named as the measure sheet names it, before any work."""

from __future__ import annotations

import pytest

from kit.errors import PaperError
from kit.proposal import check_names, client_view, unprintable

FOX = "Den 🦊"


def spoilt(job, field: str):
    """The demo with a fox in one field of its sheet."""
    table, name = field.split(", ")
    if table == "job":
        return job.model_copy(update={name: FOX})
    if table == "firm":
        return job.model_copy(update={"firm": job.firm.model_copy(update={name: FOX})})
    part = job.site.client.model_copy(update={name: FOX})
    return job.model_copy(update={"site": job.site.model_copy(update={"client": part})})


@pytest.mark.parametrize(
    "field",
    [
        "job, title",
        "job, number",
        "firm, name",
        "firm, person",
        "firm, address",
        "firm, phone",
        "firm, email",
        "firm, licence",
        "client, name",
        "client, person",
        "client, address",
        "client, email",
    ],
)
def test_a_character_without_a_glyph_is_named_with_its_field_of_the_sheet(demo_job, field):
    with pytest.raises(PaperError) as caught:
        client_view(spoilt(demo_job, field), None, None)
    assert caught.value.about == field
    assert caught.value.found == "🦊 (U+1F98A FOX FACE)"


def test_a_room_whose_name_cannot_be_printed_is_named(demo_job):
    first, *others = demo_job.site.rooms
    rooms = (first.model_copy(update={"name": FOX}), *others)
    job = demo_job.model_copy(
        update={"site": demo_job.site.model_copy(update={"rooms": rooms})}
    )
    with pytest.raises(PaperError, match=f'^room "{FOX}": found 🦊'):
        check_names(job)


def test_a_text_too_long_for_the_paper_is_named_with_its_field_of_the_sheet(demo_job):
    firm = demo_job.firm.model_copy(update={"phone": "5" * 130})
    with pytest.raises(PaperError, match=r"^firm, phone: found 130 characters"):
        check_names(demo_job.model_copy(update={"firm": firm}))


def test_the_demo_can_be_printed(demo_job):
    assert check_names(demo_job) is None


@pytest.mark.parametrize("text", ["", "Łódź, Ørsted & Señor", "e\u0301", "a\u200bb\u202e"])
def test_what_the_typefaces_have_or_drop_is_no_fault(text):
    assert unprintable(text) is None


def test_the_first_fault_is_named_by_character_and_name():
    assert unprintable("漢 🦊") == "漢 (U+6F22 CJK UNIFIED IDEOGRAPH-6F22)"
