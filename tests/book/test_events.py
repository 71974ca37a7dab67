"""Facts are noted with who and when, once, and are taken back without being lost."""

from __future__ import annotations

import datetime
import hashlib
import itertools
import sqlite3
from contextlib import closing
from decimal import Decimal

import pytest

from kit.book import Book, attach, attached, facts_of, note, of_kind, sent, standing
from kit.book.facts import (
    FACTS,
    Answer,
    Attached,
    ChangeOrder,
    Closed,
    CoatUsed,
    Fact,
    Leftover,
    Log,
    Payment,
    Plan,
    ProposalSent,
    Sending,
    TaskDone,
    Withdrawn,
)
from kit.errors import BookError, SheetError

DAY = datetime.date(2026, 11, 12)
ODD = "Robert'); DROP TABLE event;-- ? :1 %s 東京 \N{SMILING FACE WITH SMILING EYES}"
ONE_OF_EACH = (
    ProposalSent(
        sha256="ab" * 32, size_bytes=90_000, total=Decimal("7751.95"),
        cost=Decimal("4900.10"), option="matte", to=ODD,
    ),
    Answer(accepted=True, option="gloss", to=1, says=ODD),
    ChangeOrder(says=ODD, difference=Decimal("-412.00"), cost=Decimal("-200.00")),
    Payment(paid=Decimal("2500.00"), day=DAY, how=ODD, due="At signing"),
    Plan(start=DAY, days=4, crew="A", says=ODD),
    Log(day=DAY, says=ODD, air_c=21.5, slab_c=18.25, humidity_share=0.55),
    Leftover(product="clear_flood", left_l=3.5, batch=ODD, where="van"),
    Attached(name=ODD, sha256="cd" * 32, size_bytes=12, shows="photo", says=ODD),
    Closed(
        day=DAY, tasks=(TaskDone(task="grind", crew="A", units=59.5, labor_h=6.25),),
        coats=(CoatUsed(coat="flood", area_m2=59.5, used_l=70.0, film_um=1050.0),),
        days=4, cost=Decimal("5100.00"), defects=2, air_c=20.0, says=ODD,
    ),
    Sending(sha256="ab" * 32, number=1, to="ines@slipwaypottery.example"),
    Withdrawn(number=4, says=ODD),
)  # fmt: skip


def test_there_is_one_of_each_kind():
    assert {type(fact) for fact in ONE_OF_EACH} == set(FACTS.values())


def test_every_kind_of_fact_comes_back_as_it_was_noted(book, demo_job, clock):
    kept = book.keep(demo_job)
    noted = [note(book, kept.job_id.lower(), fact, who="Ann") for fact in ONE_OF_EACH]

    found = facts_of(book, kept.job_id)

    assert list(found) == noted
    assert [n.fact for n in found] == list(ONE_OF_EACH)
    assert [n.number for n in found] == list(range(1, len(ONE_OF_EACH) + 1))
    assert {n.who for n in found} == {"Ann"}
    assert all(a.when < b.when for a, b in itertools.pairwise(found))
    assert book.history(kept.job_id) == (kept,)


def test_a_fact_tells_which_state_of_the_job_it_was_noted_at(book, demo_job):
    kept = book.keep(demo_job)
    first = note(book, kept.job_id, Log(day=DAY))
    book.keep(demo_job.changed(finish="gloss"), job_id=kept.job_id)
    assert (first.revision, note(book, kept.job_id, Log(day=DAY)).revision) == (1, 2)


def test_what_is_taken_back_no_longer_counts_and_can_still_be_read(book, demo_job):
    job_id = book.keep(demo_job).job_id
    for fact in ONE_OF_EACH:
        note(book, job_id, fact)
    noted = facts_of(book, job_id)

    assert of_kind(noted, Payment) == ()
    assert 4 not in {n.number for n in standing(noted)}
    assert isinstance(noted[3].fact, Payment)
    with pytest.raises(BookError, match="a fact that still counts"):
        note(book, job_id, Withdrawn(number=4))
    assert len(facts_of(book, job_id)) == len(ONE_OF_EACH)


def test_a_fact_tried_again_under_its_mark_is_noted_once(book, demo_job):
    job_id = book.keep(demo_job).job_id
    paid = Payment(paid=Decimal("100.00"), day=DAY)
    first = note(book, job_id, paid, mark="check 17")

    assert note(book, job_id, paid, mark="check 17") == first
    assert note(book, job_id, paid).number == 2  # without a mark it is a payment more
    with pytest.raises(BookError, match=r"mark: .*a word of its own"):
        note(book, job_id, Payment(paid=Decimal("99.00"), day=DAY), mark="check 17")
    assert len(facts_of(book, job_id)) == 2


@pytest.mark.parametrize("number", [1, 3, 99])
def test_an_answer_to_what_asked_nothing_is_refused(book, demo_job, number):
    job_id = book.keep(demo_job).job_id
    note(book, job_id, Log(day=DAY))
    with pytest.raises(BookError, match="a proposal or a change order"):
        note(book, job_id, Answer(accepted=True, to=number))


def test_facts_of_no_job_or_of_no_kind_are_refused(book, demo_job):
    class Song(Fact):
        KIND = "song"

    job_id = book.keep(demo_job).job_id
    with pytest.raises(BookError, match="the id of a job"):
        note(book, "2222-3333", Log(day=DAY))
    with pytest.raises(BookError, match="fact: found Song"):
        note(book, job_id, Song())
    with pytest.raises(BookError, match=r"who: found .*at most 80"):
        note(book, job_id, Log(day=DAY), who="x" * 81)
    assert facts_of(book, job_id) == ()


@pytest.mark.parametrize(
    ("kind", "fields", "field"),
    [
        (Payment, {"paid": "1.005", "day": DAY}, "paid"),
        (Payment, {"paid": "NaN", "day": DAY}, "paid"),
        (Log, {"day": DAY, "air_c": 71.0}, "air_c"),
        (Log, {"day": DAY, "humidity_share": 55.0}, "humidity_share"),
        (ProposalSent, {"sha256": "x", "size_bytes": 1, "total": "1.00"}, "sha256"),
        (ChangeOrder, {"says": "", "difference": "1.00"}, "says"),
        (CoatUsed, {"coat": "flood", "area_m2": 0.0, "used_l": 1.0}, "area_m2"),
        (TaskDone, {"task": "grind", "units": 5.0, "labor_h": 0.0}, "labor_h"),
    ],
)
def test_a_figure_that_no_job_has_is_refused_by_its_name(kind, fields, field):
    from kit.record import filled

    with pytest.raises(SheetError) as told:
        filled(kind, fields)
    assert told.value.about.startswith(field)


def test_spread_and_waste_follow_from_what_was_used():
    coat = CoatUsed(coat="flood", area_m2=50.0, used_l=55.0, film_um=1000.0)
    assert coat.spread_m2_l == pytest.approx(50 / 55)
    assert coat.waste_share == pytest.approx(0.10)  # 50 m² × 1 mm is 50 l
    assert CoatUsed(coat="flood", area_m2=50.0, used_l=55.0).waste_share is None


def test_the_database_refuses_to_change_or_drop_a_fact(book, place, demo_job):
    job_id = book.keep(demo_job).job_id
    note(book, job_id, Log(day=DAY, says="poured"))
    for statement in ("UPDATE event SET who = 'other'", "DELETE FROM event"):
        with (
            closing(sqlite3.connect(place)) as raw,
            pytest.raises(sqlite3.IntegrityError, match="never changed"),
        ):
            raw.execute(statement)


def test_a_fact_damaged_on_the_disk_is_named(book, demo_job, tamper):
    job_id = book.keep(demo_job).job_id
    note(book, job_id, Log(day=DAY, says="poured"))
    tamper(
        "DROP TRIGGER event_stays_update",
        "UPDATE event SET payload = replace(payload, 'poured', 'ground')",
    )
    with pytest.raises(BookError, match=f"job {job_id}, fact 1 is damaged"):
        facts_of(book, job_id)


class TestFiles:
    def test_a_photo_is_kept_once_by_what_is_in_it(self, book, place, demo_job):
        one, two = book.keep(demo_job).job_id, book.keep(demo_job.changed(title="P")).job_id
        noted = attach(book, one, b"picture", name="hall.jpg", shows="photo", who="Ann")
        assert attach(book, one, b"picture", name="hall.jpg", shows="photo") == noted
        attach(book, two, b"picture", name="porch.jpg")

        assert attached(book, noted.fact.sha256) == b"picture"
        files = [p for p in place.with_name("book.files").rglob("*") if p.is_file()]
        assert [p.name for p in files] == [noted.fact.sha256]
        assert files[0].stat().st_mode & 0o777 == 0o600
        assert files[0].parents[1].stat().st_mode & 0o777 == 0o700
        assert len(facts_of(book, one)) == len(facts_of(book, two)) == 1

    def test_a_file_of_no_job_is_not_kept(self, book, place):
        with pytest.raises(BookError, match="the id of a job"):
            attach(book, "2222-3333", b"picture", name="hall.jpg")
        assert not place.with_name("book.files").exists()

    def test_a_file_that_was_damaged_or_is_gone_is_named(self, book, place, demo_job):
        job_id = book.keep(demo_job).job_id
        sha256 = attach(book, job_id, b"picture", name="hall.jpg").fact.sha256
        path = next(place.with_name("book.files").rglob(sha256))
        path.write_bytes(b"pictur3")
        with pytest.raises(BookError, match=f"file {sha256[:12]}.*no longer matches"):
            attached(book, sha256)
        path.unlink()
        with pytest.raises(BookError, match=f"file {sha256[:12]}.*put back a copy"):
            attached(book, sha256)
        with pytest.raises(BookError, match="64 letters"):
            attached(book, "../../etc/passwd")

    def test_power_lost_between_file_and_record_leaves_no_name_without_a_file(
        self, book, place, demo_job, monkeypatch
    ):
        class PowerCutError(Exception):
            pass

        def cut(*_, **__):
            raise PowerCutError

        job_id = book.keep(demo_job).job_id
        with monkeypatch.context() as before:
            before.setattr("kit.book.attaching.note", cut)
            with pytest.raises(PowerCutError):
                attach(book, job_id, b"picture", name="hall.jpg")
        assert facts_of(book, job_id) == ()

        with Book(place) as again:
            noted = attach(again, job_id, b"picture", name="hall.jpg")
            assert attached(again, noted.fact.sha256) == b"picture"
            assert len(facts_of(again, job_id)) == 1


def test_a_proposal_that_went_out_is_noted_once_by_its_bytes(book, demo_job):
    job_id = book.keep(demo_job).job_id
    total, cost = Decimal("7751.95"), Decimal("4900.10")
    first = sent(book, job_id, b"%PDF", job=demo_job, total=total, cost=cost)
    assert sent(book, job_id, b"%PDF", job=demo_job, total=total, cost=cost) == first
    sent(book, job_id, b"%PDF 2", job=demo_job, total=total)

    one, two = of_kind(facts_of(book, job_id), ProposalSent)
    assert one.sha256 == hashlib.sha256(b"%PDF").hexdigest()
    assert (one.total, one.cost, one.option, two.cost) == (total, cost, "matte", None)
    assert book.jobs()[0].stands == "out"
