"""What is chosen for the paper: every field, what it refuses, and who signs."""

import datetime
from decimal import Decimal

import pytest
from bands import Bands

from kit.bench import paper_choices as choices
from kit.bench.brand import with_accent, with_file, with_language, with_units
from kit.bench.paper_figures import (
    lacking,
    notice_attached,
    paper_figures,
    unready_at_home,
)
from kit.bench.papers import paper_name
from kit.bench.state import TableState
from kit.errors import KitError, SheetError
from kit.job import Design, standing_signature
from kit.proposal import client_view
from kit.stock import read_shelf


@pytest.fixture
def shelf():
    return read_shelf()


DAY = datetime.date(2026, 11, 25)
INK = (((0.1, 0.5), (0.4, 0.3), (0.8, 0.6)),)
KEYS = tuple(finish.key for finish in read_shelf().finishes)


def read(job, field):
    about, name = field.split(", ")
    return getattr({"job": job, "firm": job.firm, "client": job.site.client}[about], name)


GOOD = [
    ("client, name", "Łódź & Sons", "Łódź & Sons"),
    ("client, person", " Ines Quarrie ", "Ines Quarrie"),
    ("client, person", "", ""),
    ("client, address", "4 Slipway Lane #2, Port Ansel", "4 Slipway Lane #2, Port Ansel"),
    ("client, email", "ines@slipway.example", "ines@slipway.example"),
    ("client, phone", "(555) 010-0142 ext. 3", "(555) 010-0142 ext. 3"),
    ("firm, name", "Tarn Floors", "Tarn Floors"),
    ("firm, person", "Oddny Tarn", "Oddny Tarn"),
    ("firm, address", "9 Ropewalk", "9 Ropewalk"),
    ("firm, phone", "+1 555.010.0142", "+1 555.010.0142"),
    ("firm, email", "", ""),
    ("firm, licence", "C-33 10417", "C-33 10417"),
    ("job, title", "Two rooms", "Two rooms"),
    ("job, number", "2611-08", "2611-08"),
    ("job, date", "2026-12-01", datetime.date(2026, 12, 1)),
    ("job, valid_days", " 30 ", 30),
]


@pytest.mark.parametrize(("field", "text", "kept"), GOOD, ids=lambda v: str(v)[:24])
def test_a_field_is_kept_and_can_be_undone(demo_job, field, text, kept):
    state = TableState(demo_job)
    before = read(demo_job, field)

    assert state.change(lambda job: choices.with_words(job, field, text)) is None
    assert read(state.job, field) == kept
    state.undo()
    assert read(state.job, field) == before


def test_a_notice_is_a_file_that_can_be_read_and_goes_with_the_paper(
    demo_job, tmp_path, shelf
):
    notice = tmp_path / "notice.txt"
    state = TableState(
        demo_job.changed(sale=demo_job.sale.changed(at="home", buyer="household"))
    )
    refused = state.change(lambda job: with_file(job, "cancel_notice", str(notice)))
    assert "notice.txt" in refused.says
    assert "not attached" in unready_at_home(state.job, state.offer, shelf)[0]["says"]

    notice.write_text("Signed {date}. Until {last_day}.", encoding="utf-8")
    assert state.change(lambda job: with_file(job, "cancel_notice", str(notice))) is None
    assert unready_at_home(state.job, state.offer, shelf) == []
    assert notice_attached(state.job, state.offer, shelf) == "notice.txt"
    state.change(lambda job: choices.with_sale_at(job, "office"))
    assert notice_attached(state.job, state.offer, shelf) == ""


def test_what_is_signed_at_the_office_needs_no_notice_and_elsewhere_is_refused(
    demo_job, shelf
):
    state = TableState(demo_job)
    assert state.change(lambda job: choices.with_sale_at(job, "office")) is None
    assert unready_at_home(state.job, state.offer, shelf) == []
    assert "Sale" in state.change(lambda job: choices.with_sale_at(job, "pub")).says


def test_a_signed_paper_never_takes_the_place_of_the_one_that_was_sent(demo_job):
    bare = demo_job.changed(signed=None)
    signed = choices.signed_by(bare, "Ines", INK, total=TableState(bare).total, day=DAY)
    assert paper_name(bare) == "proposal-2611-07-slipway-pottery.pdf"
    assert paper_name(signed) == "proposal-2611-07-slipway-pottery-signed.pdf"


def test_every_field_has_a_good_text_above():
    assert {field for field, _, _ in GOOD} == set(choices.FIELDS)


ANYWHERE = (
    "<b>Fox</b>",
    "<script>alert(1)</script>",
    "Fox &amp; Sons",
    "Fox\u202egnp.exe",
    "Fox\x07",
    "Fox\nand Sons",
    "Fox \U0001f98a",
    "W" * 10_000,
)


@pytest.mark.parametrize("field", choices.FIELDS)
@pytest.mark.parametrize("text", ANYWHERE, ids=ascii)
def test_no_field_takes_markup_or_what_cannot_be_printed(demo_job, field, text):
    state = TableState(demo_job)
    complaint = state.change(lambda job: choices.with_words(job, field, text))

    assert complaint is not None
    assert "Needed" in complaint.says
    assert complaint.about.startswith(field)
    assert len(complaint.says) < 260
    assert state.job is demo_job
    assert not state.can_undo


REFUSED = [
    *(("job, valid_days", t) for t in ("", "-3", "0", "1e9", "366", "4.5", "soon", "٣")),
    *(("job, date", t) for t in ("", "2026-13-01", "0001-01-01", "9999-12-31", "tomorrow")),
    *(("client, email", t) for t in ("ines", "ines@", "@slipway", "a b@c", "1e9")),
    *(("firm, phone", t) for t in ("call me", "-", "1e9")),
    *((field, "") for field in ("client, name", "firm, name", "job, title")),
    ("client, name", "   "),
    ("owner, margin", "1"),
]


@pytest.mark.parametrize(("field", "text"), REFUSED)
def test_nonsense_is_refused_in_words(demo_job, field, text):
    with pytest.raises(KitError, match=r"found .*; expected "):
        choices.with_words(demo_job, field, text)


def test_the_paper_is_letter_or_a4(demo_job):
    assert choices.with_page(demo_job, "a4").paper.page == "a4"
    with pytest.raises(SheetError):
        choices.with_page(demo_job, "napkin")


def test_the_chosen_finish_is_always_priced(demo_job):
    job = demo_job
    for key in KEYS:
        if key != job.finish:
            job = choices.with_priced(job, key, False, KEYS)
    assert job.paper.finishes == (demo_job.finish,)
    with pytest.raises(SheetError, match="left out"):
        choices.with_priced(job, job.finish, False, KEYS)
    for key in KEYS:
        job = choices.with_priced(job, key, True, KEYS)
    assert job == demo_job
    with pytest.raises(SheetError):
        choices.with_priced(job, "brushed tin", True, KEYS)


def test_kept_designs_are_shown_until_they_are_left_out(demo_job):
    kept = tuple(
        Design(name=name, recipe=demo_job.recipe, finish="gloss") for name in ("One", "Two")
    )
    job = demo_job.changed(designs=kept)
    shelf = read_shelf()
    assert [d["on"] for d in paper_figures(job, None, shelf)["designs"]] == [True, True]

    job = choices.with_design_shown(job, "One", False)
    assert job.paper.designs == ("Two",)
    job = choices.with_design_shown(job, "Two", False)
    assert job.paper.designs == ()
    job = choices.with_design_shown(
        choices.with_design_shown(job, "One", True), "Two", True
    )
    assert job.paper.designs is None
    with pytest.raises(SheetError):
        choices.with_design_shown(job, "Three", True)


def test_a_design_that_is_renamed_or_let_go_is_so_on_the_paper_too(demo_job):
    from kit.bench.designs import dropped, with_name

    kept = tuple(
        Design(name=name, recipe=demo_job.recipe, finish="gloss") for name in ("One", "Two")
    )
    job = choices.with_design_shown(demo_job.changed(designs=kept), "One", False)
    renamed = with_name(job, 1, "Night tide")
    assert renamed.paper.designs == ("Night tide",)
    assert dropped(renamed, 1).paper.designs == ()


@pytest.fixture
def signed(demo_job, demo_workup):
    state = TableState(demo_job)
    total = demo_workup.offer.total
    assert state.change(
        lambda job: choices.signed_by(job, "Ines Quarrie", INK, total=total, day=DAY)
    ) is None  # fmt: skip
    return state


@pytest.mark.parametrize(
    ("strokes", "why"),
    [
        ((), "an empty box"),
        (None, "an empty box"),
        ("scrawl", "an empty box"),
        ([[[0.2]]], "no strokes"),
        ([[["a", "b"]]], "no strokes"),
        ([[]], "a dot"),
        ([[[0.5, 0.5]]], "a dot"),
        ([[[0.5, 0.5], [0.51, 0.52]]], "a dot"),
        ([[[0.0, 0.0], [1.0, 1.2]]], "less than or equal to 1|at most 1"),
        ([[[0.0, 0.0], [1.0, float("nan")]]], "."),
        ([[[0.1, 0.1], [0.9, 0.9]]] * 201, "201 strokes"),
        ([[[0.1, 0.1], [0.9, 0.9]] * 1001], "2000"),
    ],
    ids=lambda v: str(v)[:24],
)
def test_what_is_no_signature_is_refused(demo_job, strokes, why):
    with pytest.raises(SheetError, match=why):
        choices.signed_by(demo_job, "Ines", strokes, total=Decimal(1), day=DAY)


@pytest.mark.parametrize("name", ["", "  ", "<b>Ines</b>", "Ines \U0001f98a", "W" * 500])
def test_who_signs_has_a_name(demo_job, name):
    with pytest.raises(KitError):
        choices.signed_by(demo_job, name, (), total=Decimal(1), day=DAY, typed=True)


def test_a_typed_name_is_told_from_a_drawn_one(demo_job, demo_workup, signed):
    offer = demo_workup.offer
    shelf = read_shelf()
    typed = choices.signed_by(
        demo_job, "Ines Quarrie", INK, total=offer.total, day=DAY, typed=True
    )
    drawn_says = paper_figures(signed.job, offer, shelf)["signed"]["says"]
    typed_says = paper_figures(typed, offer, shelf)["signed"]["says"]

    assert typed.signed.strokes == ()
    assert drawn_says.startswith("Signed by Ines Quarrie on Wednesday, November 25, 2026")
    assert "name typed" in typed_says


CHANGES = [
    lambda job: job.with_seed(99),
    lambda job: job.changed(finish="gloss"),
    lambda job: choices.with_words(job, "client, name", "Somebody else"),
    lambda job: choices.with_words(job, "client, address", "Elsewhere"),
    lambda job: choices.with_words(job, "firm, name", "Other Floors"),
    lambda job: choices.with_words(job, "job, date", "2026-11-26"),
    lambda job: choices.with_words(job, "job, number", "7"),
    lambda job: job.changed(site=job.site.changed(rooms=job.site.rooms[::-1])),
    lambda job: choices.with_page(job, "a4"),
    lambda job: choices.with_sale_at(job, "office"),
    lambda job: choices.with_words(job, "job, valid_days", "40"),
    lambda job: choices.with_words(job, "client, person", "Somebody"),
    lambda job: choices.with_words(job, "firm, email", "a@b.example"),
    lambda job: choices.with_priced(job, "gloss", False, KEYS),
    lambda job: with_language(job, "es"),
    lambda job: with_units(job, "metric"),
    lambda job: with_accent(job, "#1f4e79"),
    lambda job: job.changed(firm=job.firm.changed(logo="mark.png")),
    lambda job: job.changed(firm=job.firm.changed(font="face.ttf")),
    lambda job: job.changed(firm=job.firm.changed(cancel_notice="other.txt")),
    lambda job: job.changed(
        designs=(Design(name="One", recipe=job.recipe, finish="gloss"),)
    ),
]


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_of_what_was_signed_takes_the_signature_off(signed, change):
    before = signed.job
    assert signed.change(change) is None
    assert signed.job.signed is None
    signed.undo()
    assert signed.job == before
    assert signed.job.signed is not None


def test_extras_taken_later_are_not_what_was_signed(signed):
    from kit.job import still_signed

    after = signed.job.changed(extras=("cove",))
    assert still_signed(signed.job, after).signed is None


def test_what_the_paper_does_not_print_leaves_the_signature(demo_job):
    from kit.job import still_signed

    job = demo_job.changed(paper=demo_job.paper.changed(designs=()))
    job = choices.signed_by(job, "Ines Quarrie", INK, total=Decimal(1), day=DAY)
    kept = Design(name="One", recipe=job.recipe, finish="gloss")
    discount = job.discount.changed(reason="Neighbors")
    after = job.changed(designs=(kept,), discount=discount)
    after = choices.with_words(after, "client, phone", "555 0142")
    after = choices.with_words(after, "client, email", "a@b.example")
    assert still_signed(job, after).signed == job.signed


def test_a_signature_for_another_price_does_not_stand(signed, demo_workup):
    offer = demo_workup.offer
    assert standing_signature(signed.job, offer) == signed.job.signed
    dearer = signed.job.signed.changed(total=offer.total + 1)
    job = signed.job.changed(signed=dearer)
    assert standing_signature(job, offer) is None
    assert paper_figures(job, offer, read_shelf())["signed"] is None


@pytest.mark.parametrize("field", ["", "job, number"])
def test_the_table_lacks_what_the_paper_would_say_is_missing(demo_job, demo_workup, field):
    job = choices.with_words(demo_job, field, "") if field else demo_job
    view = client_view(job, demo_workup, Bands(job))
    lacks = [one["field"] for one in lacking(job, demo_workup.offer, read_shelf())]
    assert lacks == [name if ", " in name else f"job, {name}" for name in view.missing]


def test_names_nobody_gave_are_lacking_too(demo_job, demo_workup):
    job = demo_job.changed(firm=demo_job.firm.changed(name="Your firm"))
    assert [one["field"] for one in lacking(job, demo_workup.offer, read_shelf())] == [
        "firm, name"
    ]
    assert lacking(demo_job, None, read_shelf())[0]["says"].startswith("No price yet")
