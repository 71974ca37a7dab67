"""The second of two edits is told what changed and is put together field by field."""

from __future__ import annotations

import datetime
from decimal import Decimal

import pytest

from kit.book import ClashError, compared, merged
from kit.book.differences import difference_words, in_words
from kit.errors import BookError
from kit.job import Design, Signature


@pytest.fixture
def two(book, demo_job):
    """Begin a job, let another keep an edit of it, and put mine together with that."""

    def put(theirs, mine, **given):
        kept = book.keep(demo_job)
        book.keep(theirs(demo_job), job_id=kept.job_id, who="Ben", after=1)
        job = mine(demo_job)
        with pytest.raises(ClashError):
            book.keep(job, job_id=kept.job_id, after=1)
        return merged(book, job, job_id=kept.job_id, after=1, **given)

    return put


def client(job, **fields):
    return job.changed(site=job.site.changed(client=job.site.client.changed(**fields)))


def test_edits_of_different_fields_are_both_there_and_kept_after_theirs(book, two):
    put = two(lambda j: j.changed(finish="gloss"), lambda j: client(j, phone="555 0100"))

    assert (put.job.finish, put.job.site.client.phone) == ("gloss", "555 0100")
    assert put.conflicts == ()
    assert put.theirs == ("finish matte → gloss",)
    assert len(put.mine) == 1
    assert put.mine[0].startswith("site, client, phone ")
    latest = put.latest
    kept = book.keep(put.job, job_id=latest.job_id, after=latest.number)
    assert kept.number == 3
    assert book.at(latest.job_id, 2).finish == "gloss"


def test_a_field_that_both_changed_is_named_and_taken_as_it_is_said(two):
    edits = (
        lambda j: j.changed(finish="gloss", valid_days=9),
        lambda j: j.changed(finish="satin", title="Hall"),
    )
    put = two(*edits)
    (conflict,) = put.conflicts
    assert (conflict.field, conflict.before) == ("finish", "matte")
    assert (conflict.mine, conflict.theirs) == ("satin", "gloss")
    assert (put.job.finish, put.job.valid_days, put.job.title) == ("gloss", 9, "Hall")

    put = two(*edits, take={"finish": "mine"})
    assert put.conflicts == ()
    assert (put.job.finish, put.job.valid_days, put.job.title) == ("satin", 9, "Hall")


def test_the_same_edit_twice_is_no_conflict(two):
    put = two(
        lambda j: j.changed(finish="gloss", title="A"), lambda j: j.changed(finish="gloss")
    )
    assert put.conflicts == ()
    assert (put.job.finish, put.job.title) == ("gloss", "A")


def test_shares_of_a_palette_stand_or_fall_together(two):
    def turned(job, by):
        colors = job.recipe.palette.colours
        shares = [c.share for c in colors]
        shares[by], shares[-1] = shares[-1], shares[by]
        new = tuple(c.changed(share=s) for c, s in zip(colors, shares, strict=True))
        palette = job.recipe.palette.changed(colours=new)
        return job.changed(recipe=job.recipe.changed(palette=palette))

    put = two(lambda j: turned(j, 0), lambda j: turned(j, 1))
    assert [c.field for c in put.conflicts] == ["recipe, palette"]


def test_designs_and_extras_of_both_are_kept_side_by_side(two):
    def designed(job, name):
        design = Design(name=name, recipe=job.recipe, finish=job.finish)
        return job.changed(designs=(*job.designs, design), extras=(name.lower(),))

    put = two(lambda j: designed(j, "Dune"), lambda j: designed(j, "Reef"))
    assert [d.name for d in put.job.designs] == ["Dune", "Reef"]
    assert put.job.extras == ("dune", "reef")
    assert put.conflicts == ()


def test_a_signature_comes_off_a_floor_that_was_not_signed(two):
    signature = Signature(name="E", day=datetime.date(2026, 11, 12), total=Decimal("1.00"))
    put = two(lambda j: j.changed(signed=signature), lambda j: j.changed(finish="gloss"))
    assert put.job.finish == "gloss"
    assert put.job.signed is None

    put = two(lambda j: j.changed(signed=signature), lambda j: client(j, phone="555 0100"))
    assert put.job.signed == signature


def test_what_makes_no_job_together_is_refused_in_one_line(book, demo_job, two):
    def designed(job, names):
        return job.changed(designs=tuple(
            Design(name=name, recipe=job.recipe, finish=job.finish) for name in names
        ))  # fmt: skip

    with pytest.raises(BookError, match="both together, design"):
        two(lambda j: designed(j, "ABC"), lambda j: designed(j, "DE"))


def test_two_revisions_are_compared_in_words(book, demo_job):
    first = book.keep(demo_job, total=Decimal("7751.95"))
    book.keep(
        demo_job.changed(finish="gloss"), job_id=first.job_id, total=Decimal("8163.95")
    )
    assert compared(book, first.job_id, 1, 2) == ("finish matte → gloss", "+$412")
    assert compared(book, first.job_id, 2, 1) == ("finish gloss → matte", "−$412")
    named = compared(book, first.job_id, 1, 2, called={"gloss": "High gloss"})
    assert named[0] == "finish matte → High gloss"


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ({"a": 1.5}, {"a": 2.0}, ("a 1.5 → 2",)),
        ({"a": ""}, {"a": "x" * 60}, (f"a blank → {'x' * 47}…",)),
        ({"extras": ["cove"]}, {"extras": ["cove", "grip"]}, ("extras: grip added",)),
        ({"extras": ["cove"]}, {"extras": ["grip"]},
         ("extras 1 cove → grip",)),
        ({"room": [{"name": "Hall"}, {"name": "Store"}]}, {"room": [{"name": "Hall"}]},
         ("room: Store taken out",)),
        ({"signed": None}, {"signed": {"name": "E"}}, ("signed: given",)),
        ({"signed": {"name": "E"}}, {"signed": None}, ("signed: taken off",)),
        ({"walls": ["E 4", "N 3"]}, {"walls": ["E 4"]}, ("walls: N 3 taken out",)),
    ],
)  # fmt: skip
def test_each_difference_is_said_as_a_person_would(before, after, words):
    assert in_words(before, after) == words


@pytest.mark.parametrize(
    ("amount", "words"),
    [("412", "+$412"), ("-19.50", "−$19.50"), ("1234567", "+$1,234,567")],
)
def test_a_difference_in_price_has_its_sign(amount, words):
    assert difference_words(Decimal(amount)) == words
