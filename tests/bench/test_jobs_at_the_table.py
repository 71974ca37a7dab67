"""The list of jobs: behind the owner's lock, gone when shut; and nothing is ever lost."""

import asyncio
import json
import os
import subprocess
from contextlib import contextmanager, suppress
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from kit.bench.faults import Faults
from kit.bench.lock import OwnerLock
from kit.bench.moments import restored_words
from kit.bench.opening import open_table
from kit.bench.scenes import Studio
from kit.bench.state import TableState
from kit.bench.visit import Visit
from kit.book import Book, NextPaper, engine, papers, read_job_file
from kit.errors import MeasureError

PASSPHRASE = "grey heron, low tide"
OTHERS = (
    ("Orla Benning", "Kitchen and hall", "2611-08", "gloss", "7539.61"),
    ("Cask Street Bakehouse", "Shop floor", "2611-09", "satin", "19592.37"),
    ("Åse Ødegård", "Garage_100%", "2611-10", "matte", "6072.43"),
)


@pytest.fixture(autouse=True)
def painted(monkeypatch):
    monkeypatch.setattr(Studio, "paint", lambda _, scene: (b"jpeg",) * len(scene.sides))
    monkeypatch.setattr(Studio, "paint_sample", lambda _, __: (b"jpeg",))


class Page:
    """The other end of the wire."""

    def __init__(self, visit):
        self.visit, self.told = visit, []
        visit.frame.send = lambda content, buffers=None: self.told.append(
            (content, buffers)
        )

    def ask(self, **wish):
        self.visit.frame._handle_custom_msg({**wish, "number": 1}, [])
        return next((c for c, _ in self.told[::-1] if "answered" in c), {}).get("complaint")

    def last(self, name):
        found = [(c[name], b) for c, b in self.told if name in c]
        return found[-1] if found else None

    @property
    def list(self):
        return self.last("jobs")[0]

    @property
    def says(self):
        return self.visit.frame.notice["says"]

    @property
    def offers(self):
        return [wish for _, wish in self.visit.frame.notice["offers"]]

    @property
    def seen(self):
        stage = self.visit.stage.get_state()
        return json.dumps([self.visit.frame.get_state(), stage, self.told], default=str)


def for_client(job, client, title, number, finish):
    site = job.site.changed(client=job.site.client.changed(name=client))
    return job.changed(site=site, title=title, number=number, finish=finish)


@pytest.fixture
def book(tmp_path, demo_job):
    with Book(tmp_path / "book.sqlite") as book:
        for *about, total in OTHERS:
            book.keep(for_client(demo_job, *about), total=Decimal(total))
        yield book


def table_on(book, job, tmp_path):
    lock = OwnerLock(tmp_path / "owner.json")
    visit = Visit(TableState(job), faults=Faults(print, tmp_path), lock=lock)
    page = Page(visit)
    visit.kept_in(book, book.open(book.keep(job, total=visit.state.offer.total).job_id))
    return page


@pytest.fixture
def page(book, demo_job, tmp_path):
    return table_on(book, demo_job, tmp_path)


@pytest.fixture
def listing(page):
    assert page.ask(do="jobs", passphrase=PASSPHRASE, again=PASSPHRASE) == ""
    return page


def row(page, client):
    return next(row for row in page.list["rows"] if row["client"] == client)


def test_no_other_client_and_no_price_of_theirs_is_told_before_the_list_opens_or_after(
    page,
):
    planted = {about[0] for about in OTHERS} | {"7,539.61", "19,592.37", "6,072.43"}

    def leaked():
        return {figure for figure in planted if json.dumps(figure)[1:-1] in page.seen}

    assert leaked() == set()
    assert page.ask(do="jobs_find", words="Orla") != ""
    assert page.ask(do="jobs_open", job="2222-3333") != ""
    assert leaked() == set()
    assert page.ask(do="jobs", passphrase=PASSPHRASE, again=PASSPHRASE) == ""
    assert leaked() == planted  # it would be found
    page.told.clear()
    assert page.ask(do="jobs_shut") == ""
    assert page.ask(do="finish", finish="gloss") == ""
    assert page.list is None
    assert leaked() == set()


def test_the_list_opens_to_the_owners_passphrase_alone_or_from_the_owners_side(page):
    page.visit.owner.lock.choose(PASSPHRASE)
    assert "Passphrase" in page.ask(do="jobs", passphrase="another heron")
    assert page.last("jobs") is None
    page.ask(do="owner", passphrase=PASSPHRASE, again=PASSPHRASE)

    assert page.ask(do="jobs") == ""
    assert len(page.list["rows"]) == 4
    assert page.last("owner")[0] is None


def test_a_page_that_is_opened_anew_finds_the_list_shut(listing):
    listing.ask(do="hello", came="open")

    assert listing.list is None
    assert not listing.visit.jobs.is_open


def test_the_list_tells_who_what_how_much_and_where_it_stands(listing):
    first = listing.list["rows"][0]
    assert (first["client"], first["here"]) == ("Slipway Pottery", True)
    orla = row(listing, "Orla Benning")

    assert orla["finish"] == "Gloss"
    assert orla["total"] == "$7,539.61"
    assert orla["stands"] == "Talking"
    assert [entry[1:] for entry in listing.list["tally"]] == [
        ["All", 4], ["Talking", 4], ["Out", 0], ["Signed", 0], ["Done", 0]
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("orla", ["Orla Benning"]),
        ("KITCHEN", ["Orla Benning"]),
        ("2611-09", ["Cask Street Bakehouse"]),
        ("street satin", ["Cask Street Bakehouse"]),
        ("ØDEGÅRD", ["Åse Ødegård"]),
        ("100%", ["Åse Ødegård"]),
        ("_", ["Åse Ødegård"]),
        ("orla bakehouse", []),
        ("'; DROP TABLE job;--", []),
    ],
)
def test_jobs_are_found_by_client_title_number_and_finish(listing, words, found):
    assert listing.ask(do="jobs_find", words=words, stands="") == ""

    assert [row["client"] for row in listing.list["rows"]] == found


def test_an_opened_job_lies_on_the_table_with_nothing_of_the_one_before(listing, book):
    state = listing.visit.state
    listing.ask(do="finish", finish="gloss")
    listing.ask(do="keep")
    before = listing.visit.saving.job_id
    orla = row(listing, "Orla Benning")["job"]

    assert listing.ask(do="jobs_open", job=orla) == ""
    assert listing.list is None
    assert listing.visit.frame.figures["head"]["client"] == "Orla Benning"
    assert state.is_fresh
    assert listing.last("laid")[0] == orla
    assert listing.visit.frame.kept == []
    assert book.latest(before).finish == "gloss"
    listing.ask(do="finish", finish="satin")
    assert book.latest(orla).finish == "satin"
    assert book.latest(before).finish == "gloss"


def test_opening_a_job_adds_no_revision_to_any(listing, book):
    here, orla = listing.visit.saving.job_id, row(listing, "Orla Benning")["job"]
    listing.ask(do="jobs_open", job=orla)

    assert [len(book.history(job)) for job in (here, orla)] == [1, 1]


def test_a_copy_has_its_own_id_and_designs_and_no_signature(listing, book, demo_job):
    orla = row(listing, "Orla Benning")["job"]
    listing.ask(do="jobs_open", job=orla)
    listing.ask(do="keep")
    listing.ask(do="jobs", passphrase=PASSPHRASE, again=PASSPHRASE)
    assert listing.ask(do="jobs_copy", job=orla) == ""
    copy = listing.visit.state.job

    assert listing.visit.saving.job_id != orla
    assert copy.title == "Copy of Kitchen and hall"
    assert copy.designs == book.latest(orla).designs != ()
    assert copy.signed is None
    assert copy.number.startswith(f"{copy.date:%y%m}-")
    assert [e.number for e in book.jobs()].count(copy.number) == 1
    assert book.latest(listing.visit.saving.job_id) == copy


def test_a_job_that_cannot_be_priced_is_told_and_the_one_there_stays(
    listing, monkeypatch, book
):
    def broken(*_):
        raise MeasureError("room", found=0, expected="a size")

    job, here = listing.visit.state.job, listing.visit.saving.job_id
    orla = row(listing, "Orla Benning")["job"]
    monkeypatch.setattr("kit.bench.state.workup", broken)
    listing.ask(do="jobs_open", job=orla)

    assert "Needed: a size" in listing.list["complaint"]
    assert listing.visit.state.job is job
    assert listing.visit.saving.job_id == here


def test_a_paper_handed_out_a_signed_job_and_a_done_one_stand_where_they_do(
    listing, book, demo_job
):
    listing.visit.saving.handed_out()
    listing.ask(do="jobs_find", words="", stands="out")
    assert [row["client"] for row in listing.list["rows"]] == ["Slipway Pottery"]
    orla = listing.visit.saving.book.find(for_client(demo_job, *OTHERS[0][:4]))
    listing.ask(do="jobs_done", job=orla, done=True)
    listing.ask(do="jobs_find", words="", stands="done")

    assert [row["client"] for row in listing.list["rows"]] == ["Orla Benning"]
    assert [n for *_, n in listing.list["tally"]] == [4, 2, 1, 0, 1]
    assert listing.ask(do="jobs_find", words="", stands="nowhere") == ""
    assert "nowhere" in listing.list["complaint"]


def test_a_paper_handed_out_here_gives_the_next_one_its_number(page):
    saving = page.visit.saving
    assert saving.next_paper() == NextPaper(1)
    saving.handed_out(b"%PDF 1")
    assert saving.next_paper() == NextPaper(1)
    page.ask(do="finish", finish="gloss")
    assert saving.next_paper() == NextPaper(2, ("finish", "price"))
    saving.handed_out(b"%PDF 2")
    out = papers(saving.book, saving.job_id)
    assert [paper.number for paper in out] == [1, 2]
    assert saving.book.at(saving.job_id, out[-1].kept.number).finish == "gloss"


def test_a_second_window_is_told_and_overwrites_nothing(page, book, demo_job, tmp_path):
    job_id = page.visit.saving.job_id
    other = Page(Visit(TableState(demo_job), faults=Faults(print, tmp_path)))
    with Book(book.place) as second:
        other.visit.kept_in(second, second.open(job_id))
        page.ask(do="finish", finish="gloss")
        other.ask(do="ping")
        assert "still shows it as it was before" in other.says
        other.ask(do="finish", finish="satin")

        assert "on this screen only; nothing was overwritten" in other.says
        assert other.offers == ["together", "from_book", "as_copy"]
        assert not other.last("saved")[0]["ok"]
        assert second.latest(job_id).finish == "gloss"

        assert other.ask(do="from_book") == ""
        assert other.visit.state.job.finish == "gloss"
        other.ask(do="finish", finish="matte")
        assert second.latest(job_id).finish == "matte"

        page.ask(do="finish", finish="satin")
        assert page.ask(do="as_copy") == ""
        copy = page.visit.saving.job_id
        assert copy != job_id
        assert book.latest(copy).finish == "satin"
        assert book.latest(job_id).finish == "matte"
        assert "Copy of" in page.says


def test_the_edits_of_two_windows_are_put_together_where_they_differ_in_no_field(
    page, book, demo_job, tmp_path
):
    job_id = page.visit.saving.job_id
    other = Page(Visit(TableState(demo_job), faults=Faults(print, tmp_path)))
    with Book(book.place) as second:
        other.visit.kept_in(second, second.open(job_id))
        page.ask(do="finish", finish="gloss")
        other.visit.state.change(lambda job: job.changed(valid_days=9))
        other.visit.saving.keep_now()
        assert other.offers[0] == "together"

        assert other.ask(do="together") == ""
        assert "From the other window: finish Matte → Gloss" in other.says
        kept = second.latest(job_id)
        assert (kept.finish, kept.valid_days) == ("gloss", 9)
        assert other.visit.state.job == kept
        assert second.at(job_id, 2).finish == "gloss"
        assert second.newest(job_id).total is not None


def test_a_window_that_clashed_lays_no_other_job_over_its_changes(listing, book):
    job_id = listing.visit.saving.job_id
    book.keep(listing.visit.state.job.changed(valid_days=9), job_id=job_id)
    listing.ask(do="finish", finish="gloss")
    listing.ask(do="jobs_open", job=row(listing, "Orla Benning")["job"])

    assert "which of the two" in listing.list["complaint"]
    assert listing.visit.saving.job_id == job_id
    assert listing.visit.state.job.finish == "gloss"


@contextmanager
def tiny_disk(place):
    """A real disk of 64 kB, where this machine lets us have one."""
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=320k", "tmpfs", str(place)]
    if os.name != "posix" or subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("no tmpfs may be mounted here")
    try:
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


def fill(file):
    with suppress(OSError), file.open("ab", 0) as more:
        while True:
            more.write(b"x" * 4096)


def _told_unsaved(page, words):
    assert words in page.says
    assert page.offers == ["carry", "keep_now"]
    assert page.last("saved")[0] == {"ok": False, "says": "Not saved"}
    assert page.ask(do="carry") == ""
    named, (content,) = page.last("file")
    assert named == {"name": "job-2611-07-slipway-pottery.json"}
    carried = read_job_file(content, about="file")
    assert carried.job == page.visit.state.job
    assert carried.job_id == page.visit.saving.job_id


def test_a_full_disk_is_said_at_once_and_the_job_comes_down_as_a_file(demo_job, tmp_path):
    with tiny_disk(tmp_path / "disk") as disk, Book(disk / "book.sqlite") as book:
        page = table_on(book, demo_job, tmp_path)
        fill(disk / "more")
        page.ask(do="finish", finish="gloss")

        assert page.visit.state.job.finish == "gloss"
        _told_unsaved(page, "has no room on its disk")
        (disk / "more").unlink()
        assert page.ask(do="keep_now") == ""
        assert page.last("saved")[0]["ok"]
        assert page.says == ""
        assert book.latest(page.visit.saving.job_id).finish == "gloss"


def test_a_book_that_may_not_grow_is_a_full_disk(demo_job, tmp_path, monkeypatch):
    """SQLite's own "database or disk is full", where no disk can be made."""
    Book(tmp_path / "book.sqlite").close()
    pages = (tmp_path / "book.sqlite").stat().st_size // 4096 + 8
    limit = f"PRAGMA max_page_count = {pages}"
    monkeypatch.setattr(engine, "_PRAGMAS", (*engine._PRAGMAS, limit))
    with Book(tmp_path / "book.sqlite") as book:
        page = table_on(book, demo_job, tmp_path)
        for days in range(1, 9):
            page.visit.state.change(lambda job, d=days: job.changed(valid_days=d))

        _told_unsaved(page, "has no room on its disk")


def test_a_book_that_may_only_be_read_is_said_at_once(demo_job, tmp_path):
    with tiny_disk(tmp_path / "disk") as disk, Book(disk / "book.sqlite") as book:
        page = table_on(book, demo_job, tmp_path)
        book._readers.dispose()
        remount = ["mount", "-o", "remount,ro", str(disk)]
        subprocess.run(remount, check=True, capture_output=True)
        page.ask(do="finish", finish="gloss")

        _told_unsaved(page, "cannot be")
        book._readers.dispose()


def test_a_file_is_taken_in_at_the_list(listing, book, demo_job):
    listing.ask(do="carry")
    _, (content,) = listing.last("file")
    here = listing.visit.saving.job_id
    listing.ask(do="jobs_open", job=row(listing, "Orla Benning")["job"])
    listing.ask(do="jobs", passphrase=PASSPHRASE, again=PASSPHRASE)
    listing.ask(do="jobs_take_in", name="x.json", text="<html>")
    assert "x.json" in listing.list["complaint"]
    assert listing.ask(do="jobs_take_in", name="x.json", text=content.decode()) == ""

    assert listing.visit.saving.job_id == here
    assert listing.visit.state.job == demo_job


NOW = datetime(2026, 11, 25, 14, 20, tzinfo=UTC)


@pytest.mark.parametrize(
    ("came", "ago", "number", "words"),
    [
        ("lost", 6, 3, "Pourtable had stopped answering and was started again. "
         "This is the job of Slipway Pottery as it was saved at 2:14 pm."),
        ("reload", 6, 3, "The page was loaded again. "
         "This is the job of Slipway Pottery as it was saved at 2:14 pm."),
        ("open", 6, 3, ""),
        ("open", 60, 1, ""),
        ("open", 60, 3, "This is the job of Slipway Pottery as it was saved at 1:20 pm, "
         "when it was last at a table."),
        ("lost", 1440, 3, "Pourtable had stopped answering and was started again. "
         "This is the job of Slipway Pottery as it was saved on Nov 24 at 2:20 pm."),
        ("<b>", 6, 3, ""),
    ],
)  # fmt: skip
def test_what_has_happened_and_until_when_it_was_saved_is_one_plain_sentence(
    demo_job, tmp_path, came, ago, number, words
):
    with Book(tmp_path / "b.sqlite", clock=lambda: NOW - timedelta(minutes=ago)) as book:
        job_id = book.keep(demo_job).job_id
        for days in range(1, number):
            book.keep(demo_job.changed(valid_days=days), job_id=job_id)
        opened = book.open(job_id)

    assert restored_words(opened, came, NOW) == words


def test_a_page_is_told_once_what_has_happened(page):
    page.ask(do="hello", came="reload")
    assert page.says.startswith("The page was loaded again.")
    page.visit.tell("something else")
    page.ask(do="hello", came="reload")

    assert page.says == "something else"


def test_a_page_loaded_again_finds_the_job_that_it_had_laid(book, demo_job, monkeypatch):
    monkeypatch.setenv("KIT_BOOK_URL", str(book.place))
    monkeypatch.setenv("KIT_JOB", book.keep(demo_job).job_id)
    orla = book.jobs("orla")[0].job_id
    monkeypatch.setenv("QUERY_STRING", f"token=x&job={orla}")
    assert open_table().saving.job_id == orla
    monkeypatch.setenv("QUERY_STRING", "token=x&job=2222-3333")
    visit = open_table()

    assert visit.state.job == demo_job
    assert "2222-3333" in visit.frame.notice["says"]


def test_what_a_timer_or_task_of_ours_raises_is_told_and_written_down(page, tmp_path):
    said = []
    faults = Faults(said.append, tmp_path / "logs")

    async def sitting():
        faults.watch()
        loop = asyncio.get_running_loop()
        loop.call_soon(TableState.change, page.visit.state, lambda _: 1 / 0)
        await asyncio.sleep(0)
        await asyncio.sleep(0)

    asyncio.run(sitting())
    assert "Something went wrong" in said[0]
    assert "ZeroDivisionError" in faults.path.read_text("utf-8")


def test_a_new_job_is_a_blank_table_by_the_firm_of_the_last(listing, book):
    listing.ask(do="firm", field="name", text="Skein Floors")
    before, job_id = listing.visit.state.job, listing.visit.saving.job_id
    listing.ask(do="finish", finish="gloss")
    assert listing.ask(do="jobs_new") == ""
    job = listing.visit.state.job

    assert listing.list is None
    assert listing.visit.saving.job_id not in (job_id, None)
    assert job.firm == before.firm
    assert not job.site.rooms
    assert listing.visit.stage.pictures == {}
    assert listing.visit.frame.figures["lacks"] != ""
    assert book.latest(job_id).finish == "gloss"
    listing.ask(do="jobs", passphrase=PASSPHRASE, again=PASSPHRASE)
    assert listing.list["rows"][0]["total"] == "no price yet"
    assert listing.list["rows"][0]["here"]
    assert listing.ask(do="jobs_open", job=job_id) == ""
    assert listing.visit.state.offer is not None
