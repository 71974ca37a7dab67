"""Faults of the disk, the clock and the text, brought about on purpose."""

from __future__ import annotations

import os
import random
import resource
import shutil
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path

from kit.book import Book, Sought, attach, facts_of, note, search
from kit.book.backups import back_up, newest_whole, restore
from kit.book.checking import examine
from kit.book.facts import Log
from kit.errors import BookError, KitError
from kit.job import Job
from kit.measure.torture.rows import Fault

NOBODY = 65534
ODD_TEXTS = (
    "Robert'); DROP TABLE revision;--",
    "quote \" and ' and ? and :1 and %s and $1",
    "Łódź 東京 \N{SMILING FACE WITH SMILING EYES} e\N{COMBINING ACUTE ACCENT}",
    "שלום עולم مرحبا",
    "=cmd|' /C calc'!A0",
    "..\\..\\etc/passwd",
    "%_[]^ LIKE NULL nan 1e999",
    "x" * 200,
)


def full_disk(folder: Path, job: Job, *, rounds: int) -> Fault:
    """Keep until no file may grow: refused in words, and whole afterwards."""
    place = folder / "full.sqlite"
    with Book(place) as book:
        job_id = book.keep(job).job_id
    kept = lost = broken = refused = 0
    for turn in range(rounds):
        room = place.stat().st_size + 4096 * (turn % 5)
        count = _in_a_child(partial(_fill, place, job, job_id, room))
        if count is None:
            broken += 1
            continue
        refused += 1
        with Book(place) as book:
            numbers = [revision.number for revision in book.history(job_id)]
        kept += count
        lost += max(0, kept + 1 - len(numbers))
    with Book(place) as book:
        broken += len(examine(book).faults)
    return Fault("full disk", rounds, kept, lost, broken, f"{refused} told in words")


def _fill(place: Path, job: Job, job_id: str, room: int) -> int:
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
    slab = job.site.slab.changed(notes="long note " * 150)
    big = job.changed(site=job.site.changed(slab=slab))
    kept = 0
    with Book(place) as book:
        for turn in range(200):
            try:
                changed = big.changed(title=f"state {os.getpid()} {turn}")
                book.keep(changed, job_id=job_id)
                kept += 1
            except BookError:
                return kept
    raise RuntimeError


def read_only(folder: Path, job: Job) -> Fault:
    """Keep in a folder and a file that may only be read: refused, and still readable."""
    home = folder / "locked"
    home.mkdir()
    place = home / "book.sqlite"
    with Book(place) as book:
        job_id = book.keep(job).job_id
    folder.chmod(0o755)
    for path, mode in ((place, 0o444), (home, 0o555)):
        path.chmod(mode)

    def reads() -> int:
        if os.geteuid() == 0:
            os.chown(place, NOBODY, NOBODY)
            os.setuid(NOBODY)
        with Book(place) as book:
            try:
                book.keep(job.changed(title="Other"), job_id=job_id)
            except BookError:
                return int(book.latest(job_id) == job)
        return 0

    well = _in_a_child(reads)
    home.chmod(0o700)
    return Fault("folder that may only be read", 1, 1, int(well != 1), int(well != 1))


def damaged(folder: Path, job: Job, *, rounds: int, seed: int) -> Fault:
    """Write over random bytes of a book: named or harmless, and the copy is put back."""
    place, chance = folder / "damaged.sqlite", random.Random(seed)
    states = {}
    with Book(place) as book:
        for days in range(1, 13):
            changed = job.changed(title=f"Job {days}", valid_days=days)
            states[book.keep(changed).job_id] = changed
        back_up(book, date(2026, 1, 1))
    whole = place.read_bytes()
    named = harmless = lost = broken = 0
    for _ in range(rounds):
        spoilt = bytearray(whole)
        at = chance.randrange(len(spoilt))
        length = chance.choice([1, 16, 4096])
        spoilt[at : at + length] = chance.randbytes(len(spoilt[at : at + length]))
        place.write_bytes(spoilt)
        outcome = _read_spoilt(place, states)
        named, harmless = named + (outcome == "named"), harmless + (outcome == "harmless")
        broken += outcome == "wrong"
        if newest_whole(place) is None:
            broken += 1
            continue
        _, aside = restore(place, now=datetime.now(UTC))
        with Book(place) as book:
            lost += sum(book.latest(job_id) != state for job_id, state in states.items())
        aside.unlink(missing_ok=True)
    return Fault(
        "damaged file", rounds, len(states) * rounds, lost, broken,
        f"{named} named, {harmless} harmless; copy put back each time",
    )  # fmt: skip


def _read_spoilt(place: Path, states: dict[str, Job]) -> str:
    """Whether damage is named, changes nothing, or gives out a job that never was."""
    try:
        with Book(place) as book:
            found = {job_id: book.latest(job_id) for job_id in states}
            faults = examine(book).faults
    except KitError:
        return "named"
    if any(found[job_id] != state for job_id, state in states.items()):
        return "wrong"
    return "named" if faults else "harmless"


def clock_backward(folder: Path, job: Job, *, rounds: int, seed: int) -> Fault:
    """Keep under a clock that jumps about: order and copies hold."""
    chance = random.Random(seed)
    start = datetime(2026, 3, 2, 9, tzinfo=UTC)

    def clock() -> datetime:
        return start + timedelta(hours=chance.uniform(-20_000, 20_000))

    with Book(folder / "clock.sqlite", clock=clock) as book:
        job_id = book.keep(job).job_id
        for turn in range(rounds):
            book.keep(job.changed(title=f"state {turn}"), job_id=job_id)
    with Book(folder / "clock.sqlite", clock=clock) as book:
        titles = [book.at(job_id, n + 2).title for n in range(rounds)]
        broken = len(examine(book).faults) + (book.latest(job_id).title != titles[-1])
    lost = sum(title != f"state {turn}" for turn, title in enumerate(titles))
    return Fault("clock that runs backward", rounds, rounds, lost, broken)


def odd_texts(where: Path | str, job: Job) -> Fault:
    """Keep texts that other programs stumble over, in every field that takes them."""
    kept = lost = broken = 0
    with Book(where) as book:
        for text in ODD_TEXTS:
            client = job.site.client.model_copy(update={"name": text, "address": text})
            slab = job.site.slab.changed(notes=text)
            site = job.site.model_copy(update={"client": client, "slab": slab})
            odd = job.model_copy(update={"title": text, "number": text, "site": site})
            try:
                revision = book.keep(odd, who=text[:80], note=text)
                noted = note(book, revision.job_id, Log(day=date(2026, 1, 1), says=text))
                if isinstance(book.place, Path):
                    attach(book, revision.job_id, text.encode(), name=text)
                search(book, Sought(words=text, client=text, address=text, color=text))
                book.jobs(text)
            except KitError:
                broken += 1
                continue
            kept += 2
            lost += book.history(revision.job_id)[0].note != text
            lost += facts_of(book, revision.job_id)[0] != noted
        broken += len(examine(book).faults) if isinstance(book.place, Path) else 0
    return Fault("odd texts in every field", len(ODD_TEXTS), kept, lost, broken)


def _in_a_child(does: Callable[[], int]) -> int | None:
    """Do it in a process of its own, which may be bound and spoilt; None if it failed."""
    hears, tells = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hears)
        try:
            os.write(tells, str(does()).encode())
        finally:
            os._exit(0)
    os.close(tells)
    os.waitpid(child, 0)
    with os.fdopen(hears) as pipe:
        said = pipe.read()
    return int(said) if said else None


def remove(folder: Path) -> None:
    """Take a folder of tortured books away again."""
    shutil.rmtree(folder, ignore_errors=True)
