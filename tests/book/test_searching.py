"""Jobs are found by client, address, color, money, where they stand, and any word."""

from __future__ import annotations

import datetime
from decimal import Decimal

import pytest

from kit.book import Sought, note, search
from kit.book.facts import Log
from kit.errors import BookError

DAY = datetime.date(2026, 11, 12)


@pytest.fixture
def kept(book, demo_job, clock):
    def keep(client, address, title, number, finish, total):
        who = demo_job.site.client.changed(name=client, address=address)
        job = demo_job.changed(
            site=demo_job.site.changed(client=who),
            title=title,
            number=number,
            finish=finish,
        )
        return book.keep(job, total=Decimal(total)).job_id

    return {
        "lodz": keep("Éva ŁUK", "12 Quay Street", "Lobby", "A-1", "gloss", "100.00"),
        "quay": keep("Quay & Sons", "9 Hill Road", "Kitchen_2", "A-2", "matte", "200.00"),
        "tokyo": keep("東京 Coffee", "1 Straße", "Cellar", "B\\3", "matte_grip", "300.00"),
    }


SOUGHT = (
    (Sought(), ["tokyo", "quay", "lodz"]),
    (Sought(words="quay"), ["quay", "lodz"]),
    (Sought(client="QUAY"), ["quay"]),
    (Sought(address="quay"), ["lodz"]),
    (Sought(words="eva"), ["lodz"]),
    (Sought(words="éva str"), ["lodz"]),
    (Sought(words="strasse"), ["tokyo"]),
    (Sought(words="東京"), ["tokyo"]),
    (Sought(words="kitchen 2"), ["quay"]),
    (Sought(words="cellar lobby"), []),
    (Sought(color="fjord"), ["tokyo", "quay", "lodz"]),
    (Sought(color="quay"), []),
    (Sought(client="fjord"), []),
    (Sought(least=Decimal("200.00")), ["tokyo", "quay"]),
    (Sought(most=Decimal("199.99")), ["lodz"]),
    (Sought(least=Decimal("200.00"), most=Decimal("200.00")), ["quay"]),
    (Sought(stands="out"), ["quay"]),
    (Sought(stands="out", words="cellar"), []),
    (Sought(since=datetime.date(2026, 3, 2)), ["tokyo", "quay", "lodz"]),
    (Sought(until=datetime.date(2026, 3, 1)), []),
    (Sought(words="%"), []),
    (Sought(words="' OR 1=1 --"), []),
    (Sought(words='" OR client : "'), []),
    (Sought(words="NOT lobby"), []),
    (Sought(words="lobby*':*A | 'x"), []),
    (Sought(words="zz\0qq"), []),
    (Sought(words="\u202elobby\u202c"), ["lodz"]),
)


def test_what_is_sought_is_found_and_nothing_else(book, kept):
    book.mark(kept["quay"], "out")
    names = {job_id: name for name, job_id in kept.items()}
    for sought, found in SOUGHT:
        assert [names[entry.job_id] for entry in search(book, sought)] == found, sought


def test_what_was_noted_of_a_job_finds_it_and_an_older_state_does_not(book, kept, demo_job):
    assert search(book, Sought(words="efflorescence")) == ()
    note(book, kept["quay"], Log(day=DAY, says="Efflorescence by the door"))
    assert [e.job_id for e in search(book, Sought(words="efflor door"))] == [kept["quay"]]

    book.keep(demo_job.changed(title="Attic"), job_id=kept["lodz"])
    assert search(book, Sought(address="quay")) == ()
    assert [e.title for e in search(book, Sought(words="attic"))] == ["Attic"]


def test_no_more_are_found_than_are_asked_for(book, kept):
    assert [e.job_id for e in search(book, Sought(), most=1)] == [kept["tokyo"]]


def test_an_amount_that_is_none_is_refused(book):
    with pytest.raises(BookError, match="least: found NaN"):
        search(book, Sought(least=Decimal("NaN")))
