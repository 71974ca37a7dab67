"""Two states of one job compared in words, or put together field by field."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from dataclasses import field as filled_by
from typing import TYPE_CHECKING, Any, Literal

from pydantic import ValidationError

from kit.book.differences import FieldPath, in_words, shown_value
from kit.book.payload import sealed
from kit.book.records import Revision
from kit.errors import BookError
from kit.record import complaint, spoken_path

if TYPE_CHECKING:
    from kit.book.book import Book
    from kit.job import Job

Side = Literal["mine", "theirs"]
_NOT_THERE = object()
_Table = dict[Any, Any]
_WHOLE = (("recipe", "palette"), ("signed",), ("site", "room", "*"))
"""Fields that stand or fall together: shares of one palette, walls of one room."""


@dataclass(frozen=True)
class Conflict:
    """A field that both changed, each to something else, as a person names it.

    ``values`` are the three as they are kept, JSON values, of the field at ``path``.
    """

    field: str
    before: str
    mine: str
    theirs: str
    path: FieldPath = filled_by(repr=False)
    values: tuple[Any, Any, Any] = filled_by(repr=False)


@dataclass(frozen=True)
class Merged:
    """Both edits in one job.

    Parameters
    ----------
    job : Job
        With theirs where both changed a field, unless it was said otherwise.
    latest : Revision
        Theirs, after which the job is to be kept.
    theirs, mine : tuple of str
        What each changed, in words.
    conflicts : tuple of Conflict
        What is still to be decided.
    """

    job: Job
    latest: Revision
    theirs: tuple[str, ...]
    mine: tuple[str, ...]
    conflicts: tuple[Conflict, ...]


def merged(
    book: Book,
    mine: Job,
    *,
    job_id: str,
    after: int,
    take: Mapping[str, Side] | None = None,
    called: Mapping[str, str] | None = None,
) -> Merged:
    """Put an edit together with what was kept meanwhile; nothing is kept by this.

    Parameters
    ----------
    book : Book
    mine : Job
        The job as edited here.
    job_id : str
    after : int
        Number of the revision that the edit began from.
    take : mapping, optional
        Whose to take by the name of a `Conflict`'s field; these are conflicts no more.
    called : mapping, optional
        Names of finishes and pigments by their keys.

    Raises
    ------
    BookError
        If the job is not in the book, or the two make no job together.
    """
    from kit.job import still_signed

    base, theirs = book.open(job_id, after), book.open(job_id)
    before, here, there = (_fields(job) for job in (base.job, mine, theirs.job))
    put = _Together(dict(take or {}), there)
    job = _job_of(put.of(before, here, there, ()))
    # a signature holds for what was signed only
    job = still_signed(theirs.job, still_signed(mine, job))
    return Merged(
        job=job,
        latest=theirs.revision,
        theirs=in_words(before, there, called=called),
        mine=in_words(before, here, called=called),
        conflicts=tuple(put.conflicts),
    )


def compared(
    book: Book,
    job_id: str,
    before: int,
    after: int,
    *,
    called: Mapping[str, str] | None = None,
    currency: str = "USD",
) -> tuple[str, ...]:
    """Say what two revisions differ in: ``finish matte → gloss``, ``+$412``.

    Parameters
    ----------
    book : Book
    job_id : str
    before, after : int
        Numbers of the revisions.
    called : mapping, optional
        Names of finishes and pigments by their keys.
    currency : str
        ISO 4217 code.

    Raises
    ------
    BookError
        If the job or a revision is not in the book.
    """
    one, other = book.open(job_id, before), book.open(job_id, after)
    totals = (one.revision.total, other.revision.total)
    return in_words(
        _fields(one.job), _fields(other.job),
        totals=totals, called=called, currency=currency,
    )  # fmt: skip


def _fields(job: Job) -> Any:
    return json.loads(sealed(job).text)


def _job_of(fields: Any) -> Job:
    from kit.job import Job

    try:
        return Job.model_validate_json(json.dumps(fields))
    except ValidationError as error:
        raise complaint(
            error, given=fields, where="both together", family=BookError
        ) from None


@dataclass
class _Together:
    take: dict[str, Side]
    spoken_in: Any
    conflicts: list[Conflict] = filled_by(default_factory=list)

    def of(self, base: Any, mine: Any, theirs: Any, path: FieldPath) -> Any:
        """One value out of three: whoever changed it has it."""
        if mine == theirs or base == theirs:
            return mine
        if base == mine:
            return theirs
        sides = (base, mine, theirs)
        if not _is_whole(path):
            if all(isinstance(side, dict) for side in sides):
                return self._of_tables(base, mine, theirs, path)
            if all(isinstance(side, list) for side in sides):
                return self._of_lists(base, mine, theirs, path)
        return self._decided(base, mine, theirs, path)

    def _decided(self, base: Any, mine: Any, theirs: Any, path: FieldPath) -> Any:
        name = spoken_path(path, self.spoken_in)
        side = self.take.get(name)
        if side is None:
            one, two, three = (None if v is _NOT_THERE else v for v in (base, mine, theirs))
            self.conflicts.append(
                Conflict(
                    name, shown_value(one), shown_value(two), shown_value(three),
                    path, (one, two, three),
                )
            )  # fmt: skip
        return mine if side == "mine" else theirs

    def _of_tables(
        self, base: _Table, mine: _Table, theirs: _Table, path: FieldPath
    ) -> _Table:
        together = {}
        for name in {**theirs, **mine}:
            one, two, three = (side.get(name, _NOT_THERE) for side in (base, mine, theirs))
            value = self.of(one, two, three, (*path, name))
            if value is not _NOT_THERE:
                together[name] = value
        return together

    def _of_lists(
        self, base: list[Any], mine: list[Any], theirs: list[Any], path: FieldPath
    ) -> list[Any]:
        one, two, three = (_by_name(side) for side in (base, mine, theirs))
        if one is not None and two is not None and three is not None:
            return list(self._of_tables(one, two, three, path).values())
        if all(isinstance(item, str) for item in (*base, *mine, *theirs)):
            gone = [item for item in base if item not in mine]
            more = [item for item in mine if item not in base and item not in theirs]
            return [item for item in theirs if item not in gone] + more
        decided: list[Any] = self._decided(base, mine, theirs, path)
        return decided


def _by_name(items: list[Any]) -> dict[Any, Any] | None:
    """Items of a list by their names, if each has one of its own."""
    names = list(_names(items))
    if len(set(names)) != len(items):
        return None
    return dict(zip(names, items, strict=True))


def _names(items: list[Any]) -> Iterator[str]:
    for item in items:
        if isinstance(item, dict) and isinstance(item.get("name"), str):
            yield item["name"]


def _is_whole(path: FieldPath) -> bool:
    return any(
        len(path) == len(whole)
        and all(want in {"*", have} for want, have in zip(whole, path, strict=True))
        for whole in _WHOLE
    )
