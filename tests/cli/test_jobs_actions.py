"""What is done with the book from the command line, from a note to a copy put back."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest

from kit.book import Book
from kit.book.backups import backups_of
from kit.cli import main
from kit.measure import torture
from kit.measure.torture import running


@pytest.fixture
def job_id(tmp_path, monkeypatch, demo_job, demo_workup):
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    with Book() as book:
        kept = book.keep(demo_job, who="Ann", total=demo_workup.offer.total)
        book.keep(
            demo_job.changed(finish="gloss"), job_id=kept.job_id, total=Decimal("9000.00")
        )
    return kept.job_id


@pytest.fixture
def said(capsys):
    def run(*words, code=0):
        assert main(["jobs", *map(str, words)]) == code
        told = capsys.readouterr()
        return told.err if code == 2 else told.out

    return run


@pytest.fixture
def price(capsys, demo_sheet):
    def run(*words):
        assert main(["price", str(demo_sheet), *words]) == 0
        return capsys.readouterr().out

    return run


def test_a_job_is_followed_from_the_first_note_to_what_it_taught(
    job_id, said, price, tmp_path
):
    assert "finish matte → gloss; +$" in said("show", job_id)
    assert said("compare", job_id, 1).startswith("finish Matte → Gloss\n")
    sent = ("sha256=" + "ab" * 32, "size_bytes=9", "total=9000.00", "cost=5000.00")
    said("note", job_id, "proposal", *sent, "--who", "Ann")
    said("note", job_id, "answer", "accepted=yes", "to=1", "option=gloss")
    said("note", job_id, "payment", "paid=2500.00", "day=2026-11-25", "how=check, no. 7")
    photo = tmp_path / "hall.jpg"
    photo.write_bytes(b"picture")
    said("attach", job_id, photo, "--photo", "--says", "Efflorescence by the door")
    assert "1 found" in said("find", "efflor", "--color", "fjord", "--least", "8,999")
    assert "0 found" in said("find", "--most", "8999.99")

    draft = tmp_path / "actuals.toml"
    said("close", job_id, "--draft", draft, "--crew", "A")
    slower = re.sub(r"labor_h = .*", "labor_h = 40.0", draft.read_text())
    draft.write_text(slower)
    table = said("close", job_id, draft, "--who", "Ann")
    assert "Person-hours" in table
    assert "40.00" in table
    assert "1.00 d" in table

    learned = said("learn")
    assert "not used until you agree" in learned
    task = learned.partition(":")[0]
    assert "agreed: " in said("learn", "--agree", task, "--crew", "A")
    priced = [price(), price("--crew", "A"), price("--crew", "")]
    assert priced[0] == priced[2] != priced[1]
    assert "agreed: " not in said("learn", "--take-back", task, "--crew", "A")

    totals = said("totals")
    assert "1 won, 0 lost, 0 waiting, 100% of those answered" in totals
    assert job_id in totals
    assert "done" in said()
    shown = said("show", job_id)
    assert "check, no. 7" in shown
    assert "all whole" in said("check")


def test_jobs_go_through_files_lists_and_pictures(job_id, said, tmp_path, monkeypatch):
    said("note", job_id, "proposal", "sha256=" + "ab" * 32, "size_bytes=9", "total=9.00")
    said("export", job_id, "--out", tmp_path / "job.json")
    assert said("export", "--out", tmp_path / "all").startswith("1 jobs")
    said("find", "--csv", tmp_path / "jobs.csv")
    assert job_id in (tmp_path / "jobs.csv").read_text()
    said("totals", "--csv", tmp_path / "earned.csv")
    said("charts", "--out", tmp_path / "charts")
    assert (tmp_path / "charts" / "months.png").read_bytes().startswith(b"\x89PNG")

    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "other.sqlite"))
    assert "2 revisions, 1 facts added" in said("import", tmp_path / "job.json")
    assert "0 revisions, 0 facts added" in said("import", tmp_path / "all")
    with Book() as book:
        book.keep(book.latest(job_id).changed(title="Here"), job_id=job_id)
    with Book(tmp_path / "book.sqlite") as book:
        book.keep(book.latest(job_id).changed(title="There"), job_id=job_id)
        monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    said("export", job_id, "--out", tmp_path / "job.json")
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "other.sqlite"))
    assert "left as it is: revision 3" in said("import", tmp_path / "job.json", code=1)


def test_a_damaged_book_is_named_and_put_back(job_id, said, tmp_path):
    said("backup")
    place = tmp_path / "book.sqlite"
    assert len(backups_of(place)) == 1
    place.write_bytes(b"no database " * 5000)
    assert "jobs restore" in said(code=2)
    assert "1 jobs" in said("restore")
    assert "all whole" in said("check")
    assert "that of a copy" in said("restore", "2001-01-01", code=2)


# a peer of the bench, where one is installed, warns of every fork after it
@pytest.mark.filterwarnings("ignore:os.fork:RuntimeWarning")
def test_the_fault_table_is_printed_with_its_counts(said, monkeypatch):
    monkeypatch.setattr(running, "KILLS", 10)
    monkeypatch.setattr(running, "CROWD", 3)
    table = said("torture", "--minutes", "0", "--seed", "4")
    rows = list(table.splitlines()[1:-1])
    assert len(rows) == 8
    for row in rows:
        tries, _kept, lost, broken = map(int, row[38:67].split())
        assert tries > 0
        assert (lost, broken) == (0, 0)
    assert table.splitlines()[-1] == "nothing lost, nothing broken"

    monkeypatch.setattr(
        torture, "tortured", lambda **_: iter([torture.Fault("x", 9, 9, lost=1, broken=0)])
    )
    assert "NOT SURVIVED" in said("torture", code=1)


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        (("note", "X", "song"), "kind: found song"),
        (("note", "X", "payment", "paid"), "found paid; expected name=value"),
        (("note", "X", "payment", "paid=1.00"), "payment, day: found nothing"),
        (("note", "X", "payment", "paid=a", "day=2026-11-25"), "payment, paid: found a"),
        (("note", "X", "log", "day=soon"), "log, day: found soon"),
        (("note", "X", "log", "day=2026-11-25"), "the id of a job"),
        (("find", "--least", "cheap"), "--least: found cheap"),
        (("find", "--since", "soon"), "--since: found soon"),
        (("close", "X", "nowhere.toml"), "the id of a job"),
        (("import", "nowhere.json"), "nowhere.json: found No such file"),
        (("learn", "--agree", "juggle"), "--agree: found juggle"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(job_id, said, words, complaint):
    line = said(*words, code=2)
    assert complaint in line
    assert line.count("\n") == 1
