"""The table: what is timed, beside which peer, and which ratio is aimed at."""

from __future__ import annotations

import statistics
from dataclasses import dataclass

from kit.measure.machine import absent
from kit.measure.timing import Work, fresh, interleaved, ratio
from kit.measure.works import Demo, first_picture, remapped, warped

WARPS = 64
"""Raster warps that a floor of as many strokes would be chained from; one is timed."""


@dataclass(frozen=True)
class Row:
    """One stage beside its peer.

    Parameters
    ----------
    times : float
        CPU time of the work over that of the peer, median over rounds.
    goal : float or None
        Most that is aimed at; None where the ratio is only told.
    work_ms, peer_ms : float
        CPU time of one thread, medians. [ms]
    """

    work: str
    peer: str
    times: float
    goal: float | None
    work_ms: float
    peer_ms: float

    @property
    def is_met(self) -> bool | None:
        """Whether the goal is met; None without one."""
        return None if self.goal is None else self.times <= self.goal


@dataclass(frozen=True)
class _Pair:
    work: str
    peer: str
    goal: float | None = None


JPEG = "JPEG of the frame"
JPEG_ROOM = "JPEG of the room's frame"
SMALL, LARGE = "a pixel at 4,000 sq ft", "a pixel at 40,000 sq ft"
PARSE, PRICE = "parse the job's JSON", "price the job again"
NUMPY, KIT = "import numpy", "import kit"
FIRST_ABOVE, FIRST_ROOM = "first picture, above", "first picture, room"
SCIPY, OPENCV = f"{WARPS} warps by scipy", f"{WARPS} warps by OpenCV"
PATTERN = "pattern of a frame"
SATIN_ROOM, GLOSS_ROOM = "re-sheen to satin, room", "re-sheen to gloss, room"
LONG = (SATIN_ROOM, GLOSS_ROOM)
"""Left out of a quick look."""

_HERE = (
    _Pair(PATTERN, JPEG, 25.0),
    _Pair("recolour, above", JPEG, 1.5),
    _Pair("re-sheen, above", JPEG, 10.0),
    _Pair("recolour, room", JPEG_ROOM, 1.5),
    _Pair(SATIN_ROOM, JPEG_ROOM, 10.0),
    _Pair(GLOSS_ROOM, JPEG_ROOM, 10.0),
    _Pair(LARGE, SMALL, 1.1),
    _Pair(PRICE, PARSE),
    _Pair(PATTERN, SCIPY),
    _Pair(PATTERN, OPENCV),
)
_FRESH = (
    _Pair(KIT, NUMPY, 3.5),
    _Pair(FIRST_ABOVE, NUMPY, 10.0),
    _Pair(FIRST_ROOM, NUMPY, 10.0),
)


def table_of(*, quick: bool = False) -> list[Row]:
    """Time everything once over and return the rows.

    Parameters
    ----------
    quick : bool
        Fewer rounds, and nothing long: to see that it works,
        not to be quoted.
    """
    import numba

    threads = numba.get_num_threads()
    numba.set_num_threads(1)
    try:
        works = _works()
        for name in LONG if quick else ():
            del works[name]
        spent = interleaved(works, rounds=2 if quick else 7)
    finally:
        numba.set_num_threads(threads)
    for chain in {SCIPY, OPENCV} & spent.keys():
        spent[chain] = [WARPS * one for one in spent[chain]]
    codes = {NUMPY: NUMPY, KIT: KIT, FIRST_ABOVE: first_picture("above")}
    if not quick:
        codes[FIRST_ROOM] = first_picture("room")
    spent |= fresh(codes, rounds=1 if quick else 5)
    return [
        _row(pair, spent[pair.work], spent[pair.peer])
        for pair in (*_HERE, *_FRESH)
        if pair.work in spent and pair.peer in spent
    ]


def _row(pair: _Pair, work: list[float], peer: list[float]) -> Row:
    return Row(
        work=pair.work,
        peer=pair.peer,
        times=ratio(work, peer),
        goal=pair.goal,
        work_ms=1e3 * statistics.median(work),
        peer_ms=1e3 * statistics.median(peer),
    )


def _works() -> dict[str, Work]:
    """Works of one process by name; peers that are absent are left out."""
    from kit.job import Job, workup

    demo = Demo()
    written = demo.job.model_dump_json(by_alias=True)
    works: dict[str, Work] = {
        JPEG: demo.encoded("above"),
        PATTERN: demo.pattern(),
        "recolour, above": demo.recoloured("above", "satin"),
        "re-sheen, above": demo.resheened("above", "satin"),
        JPEG_ROOM: demo.encoded("room"),
        "recolour, room": demo.recoloured("room", "satin"),
        SATIN_ROOM: demo.resheened("room", "satin"),
        GLOSS_ROOM: demo.resheened("room", "gloss"),
        SMALL: demo.patch(4_000.0),
        LARGE: demo.patch(40_000.0),
        PARSE: lambda: Job.model_validate_json(written),
        PRICE: lambda: workup(demo.job),
    }
    peers = {"scipy": (SCIPY, warped), "opencv-python-headless": (OPENCV, remapped)}
    for package, (name, made) in peers.items():
        if package not in absent():
            works[name] = made()
    return works
