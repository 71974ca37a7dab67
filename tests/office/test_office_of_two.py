"""Two people of one office at their tables at once, over one book, under JupyterHub."""

from __future__ import annotations

import asyncio
import json

import hubs
import postgres
import pytest
from hubs import Hub, Person

from kit.book import Book
from kit.kernels import kernels_place
from kit.office import write_office

pytestmark = pytest.mark.slow

NOT_KEPT = "Quartz vestibule"


@pytest.fixture(scope="module")
def book_url():
    hubs.check_programs()
    server = postgres.started()
    yield server.url
    server.end()


@pytest.fixture(scope="module")
def job_id(book_url, demo_job):
    """A job that both are to work on."""
    with Book(book_url, who="Oddny") as book:
        return book.keep(demo_job).job_id


@pytest.fixture(scope="module")
def hub(tmp_path_factory, book_url, job_id):
    office = tmp_path_factory.mktemp("hub")
    write_office(office)
    (office / "kit_book_url").touch(0o600)
    (office / "kit_book_url").write_text(book_url)
    hub = Hub(office, tmp_path_factory.mktemp("homes"), kernels_place())
    yield hub
    hub.end()


@pytest.fixture(scope="module")
def people(hub):
    people = Person(hub, "ann"), Person(hub, "ben")
    for person in people:
        person.sit_down()
    return people


@pytest.fixture
def book(book_url):
    with Book(book_url) as book:
        yield book


def test_who_is_not_of_the_office_is_not_let_in(hub):
    for name, password in (("eve", hubs.PASSWORD), ("ann", "a guess")):
        stranger = Person(hub, name)
        stranger.sit_down(password)
        _, url, _ = stranger.get("/user/ann/voila/render/table.ipynb")
        assert "/hub/login" in url


def test_two_open_keep_and_put_together_one_job_and_see_nothing_that_was_not_kept(
    people, book, job_id
):
    asyncio.run(asyncio.wait_for(_at_once(*people, book, job_id), hubs.PATIENCE_S * 2))


async def _at_once(ann, ben, book, job_id):
    await asyncio.gather(ann.open(f"?job={job_id}"), ben.open(f"?job={job_id}"))
    assert await ann.ask(do="finish", finish="gloss") == ""
    await ann.hears(lambda m: m.get("saved", {}).get("ok"))
    assert (book.latest(job_id).finish, book.newest(job_id).who) == ("gloss", "ann")

    # Ben changes the same field, and something that Ann must not see before it is kept.
    assert await ben.ask(do="room_name", room="Store", name=NOT_KEPT) == ""
    assert await ben.ask(do="finish", finish="satin") == ""
    told = await ben.hears(
        lambda m: "changed by ann" in m.get("notice", {}).get("says", "")
    )
    assert ["Put both together", "together"] in told["notice"]["offers"]
    assert NOT_KEPT in ben.seen
    assert await ann.ask(do="finish", finish="gloss") == ""
    assert NOT_KEPT not in ann.seen
    assert book.latest(job_id).finish == "gloss"

    await ben.ask(do="together")
    both = next(m["both"] for m in reversed(ben.frames) if m.get("both"))
    assert [(a["field"], a["mine"], a["theirs"]) for a in both["asks"]] == [
        ("finish", "Satin", "Gloss")
    ]
    assert await ben.ask(do="together", take={"finish": "mine"}, seen=both["seen"]) == ""
    job = book.latest(job_id)
    assert (job.finish, book.newest(job_id).who) == ("satin", "ben")
    assert NOT_KEPT in [room.name for room in job.site.rooms]
    assert [r.who for r in book.history(job_id)] == ["Oddny", "ann", "ben"]
    for person in (ann, ben):
        person.leave()


def test_each_had_a_job_of_their_own_begun_where_they_had_kept_none(people, book, job_id):
    others = [entry.job_id for entry in book.jobs() if entry.job_id != job_id]
    assert sorted(book.history(other)[0].who for other in others) == ["ann", "ben"]


def test_each_has_files_of_their_own_that_the_other_does_not_reach(people):
    ann, ben = people
    proof = {"X-XSRFToken": ann.proof("/user/ann/"), "Content-Type": "application/json"}
    file = json.dumps({"type": "file", "format": "text", "content": "mine"}).encode()
    own = "/user/ann/api/contents/notes.txt"
    status, _, _ = ann.get(own, data=file, method="PUT", headers=proof)
    assert status == 201
    assert json.loads(ann.get(own)[2])["content"] == "mine"
    assert ben.get("/user/ben/api/contents/notes.txt")[0] == 404
    assert ben.get(own)[0] in (403, 404)
    assert "mine" not in ben.get(own)[2]


def test_no_secret_stands_in_a_file_that_others_may_read(hub, book_url):
    password = book_url.split(":")[2].split("@")[0]
    for file in hub.folder.iterdir():
        if file.stat().st_mode & 0o077:
            assert password not in file.read_text("utf-8", "replace"), file.name
    assert (hub.folder / "cookie_secret").stat().st_mode & 0o777 == 0o600
