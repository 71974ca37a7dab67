"""The table: what is timed, beside which peer, and which ratio is aimed at."""

from __future__ import annotations

import statistics
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from kit.measure.arithmetic import A_LANE
from kit.measure.bookscale import (
    LIST,
    LIST_SQL,
    OPEN,
    PARSED,
    SEARCH,
    SEARCH_SQL,
    large_book,
    works_in,
)
from kit.measure.crew import FortyRooms
from kit.measure.machine import absent
from kit.measure.papers import packed, proposed, viewing
from kit.measure.peers import (
    TRACED_PX,
    TRACED_SAMPLES,
    as_png,
    fielded,
    multiplied,
    remapped,
    traced,
    warped,
)
from kit.measure.plainpaper import (
    cold_proposal,
    cold_weasyprint,
    in_reportlab,
    parts_of,
)
from kit.measure.rivals import Everywhere
from kit.measure.threads import waits
from kit.measure.timing import Work, fresh, interleaved, ratio
from kit.measure.works import FRAME_PX, Demo, first_picture
from kit.pour.block import N as BLOCK


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
PATTERN, WALK = "pattern of a frame", "walk back of a frame"
STROKE, MULTIPLIED = "a stroke on 1,000 blocks", "its multiply-adds alone"
BLOCKS = 1_000
FIELD = "a numpy field a drag"
STROKES = "64 strokes"
FEW, FEW_EVERYWHERE = "256 drags", "256 drags everywhere"
MANY, MANY_EVERYWHERE = "1,024 drags", "1,024 drags everywhere"
UNINDEXED, IN_C = "64 strokes everywhere", "the same in C"
IN_JAX, IN_GLSL = "the same in jax", "the same in GLSL, llvmpipe"
AREAS_SQFT = {STROKES: 500.0, FEW: 270.0, MANY: 2_100.0}
"""Floors on which about so many lie; a drag reaches over 9, 13 and 3 % of its floor."""
WHOLE, HALF = "picture, new film", "picture of half the size"
PRINT, PNG = "80 Mpx of 4,000 sq ft", "its PNG, level 1"
FRAME, TRACED = "frame of the room", f"{TRACED_SAMPLES} paths a pixel"
BEDROOM, GARAGE = "a pixel at 100 sq ft", "a pixel at 400 sq ft"
SMALL, LARGE = "a pixel at 4,000 sq ft", "a pixel at 40,000 sq ft"
PARSE, PRICE = "parse the job's JSON", "price the job again"
DAYS, SWEEP = "days and order, 40 rooms", "a sweep of its lanes"
PACK, PROPOSAL = "job pack", "proposal"
VIEWED, REPORTLAB = "its pictures", "its pages, ReportLab"
SET_PLAINLY = "its pictures, ReportLab"
COLD, WEASYPRINT = "proposal, cold", "its pages, WeasyPrint"
RISK, DRAW = "risk of 100,000 floors", "their factors from numpy"
TWO, ONE = "pattern on two threads", "on one thread"
NUMPY, KIT = "import numpy", "import kit"
FIRST_ABOVE, FIRST_ROOM = "first picture, above", "first picture, room"
SCIPY, OPENCV = "a warp a drag, scipy", "a warp a drag, OpenCV"
SATIN_ROOM, GLOSS_ROOM = "re-sheen to satin, room", "re-sheen to gloss, room"
LONG = (SATIN_ROOM, GLOSS_ROOM, TRACED, PRINT, PNG, PACK, PROPOSAL, VIEWED, REPORTLAB)
"""Left out of a quick look."""
MULTIPLY_ADDS = 36
"""Multiply-adds that one stroke takes a place, counted in `kit.pour.walk.add_stroke`."""

_HERE = (
    _Pair(PATTERN, JPEG, 25.0),
    _Pair("recolour, above", JPEG, 1.5),
    _Pair("re-sheen, above", JPEG, 10.0),
    _Pair("recolour, room", JPEG_ROOM),
    _Pair(SATIN_ROOM, JPEG_ROOM, 10.0),
    _Pair(GLOSS_ROOM, JPEG_ROOM, 10.0),
    _Pair(FRAME, TRACED, 1 / 500),
    _Pair(HALF, WHOLE, 0.4),
    _Pair(PRINT, PNG, 2.5),
    _Pair(STROKES, SCIPY, 1 / 400),
    _Pair(STROKES, OPENCV, 1 / 55),
    _Pair(STROKES, FIELD, 1 / 30),
    _Pair(WALK, OPENCV),
    _Pair(FEW, FEW_EVERYWHERE, 0.35),
    _Pair(MANY, MANY_EVERYWHERE, 0.35),
    _Pair(STROKE, MULTIPLIED, 1.5),
    _Pair(UNINDEXED, IN_C, 1.15),
    _Pair(UNINDEXED, IN_JAX, 1 / 3),
    _Pair(UNINDEXED, IN_GLSL, 1 / 8),
    _Pair(LARGE, SMALL, 1.1),
    _Pair(LARGE, GARAGE, 1.3),
    _Pair(LARGE, BEDROOM, 1.5),
    _Pair(PRICE, PARSE, 20.0),
    _Pair(RISK, DRAW, 10.0),
    _Pair(DAYS, SWEEP, 100.0),
    _Pair(PACK, PROPOSAL, 2.0),
    _Pair(PROPOSAL, SET_PLAINLY, 1.5),
    _Pair(OPEN, PARSED, 10.0),
    _Pair(SEARCH, SEARCH_SQL, 10.0),
    _Pair(LIST, LIST_SQL, 10.0),
)
_BOOK_JOBS, _FEW_JOBS = 2_000, 100
_CLOCKED = _Pair(TWO, ONE, 1 / 1.5)
_FRESH = (
    _Pair(KIT, NUMPY, 3.5),
    _Pair(FIRST_ABOVE, NUMPY, 10.0),
    _Pair(FIRST_ROOM, NUMPY),
    _Pair(COLD, WEASYPRINT, 1.0),
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
    demo = Demo()
    jobs = _FEW_JOBS if quick else _BOOK_JOBS
    try:
        with large_book(demo.job, jobs) as (book, raw):
            works = _works(demo) | works_in(book, raw, jobs)
            for name in LONG if quick else ():
                works.pop(name, None)
            spent = interleaved(works, rounds=2 if quick else 7)
    finally:
        numba.set_num_threads(threads)
    _reckon(spent, demo)
    if clocked := waits(works[PATTERN], rounds=2 if quick else 7):
        spent[ONE], spent[TWO] = clocked
    codes = {NUMPY: NUMPY, KIT: KIT, FIRST_ABOVE: first_picture("above")}
    if not quick:
        codes[FIRST_ROOM] = first_picture("room")
    with TemporaryDirectory() as folder:
        if not quick and "weasyprint" not in absent():
            view = viewing(demo)()
            codes[COLD] = cold_proposal(view, Path(folder))
            codes[WEASYPRINT] = cold_weasyprint(parts_of(view), Path(folder))
        spent |= fresh(codes, rounds=1 if quick else 5)
    return [
        _row(pair, spent[pair.work], spent[pair.peer])
        for pair in (*_HERE, _CLOCKED, *_FRESH)
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


def _reckon(spent: dict[str, list[float]], demo: Demo) -> None:
    """Make up from what was timed what would take too long, or is a sum of stages."""
    pixels = FRAME_PX["width_px"] * FRAME_PX["height_px"]
    drags = {name: demo.hall(sqft).drags for name, sqft in AREAS_SQFT.items()}
    for chain in {SCIPY, OPENCV, FIELD} & spent.keys():
        spent[chain] = [drags[STROKES] * one for one in spent[chain]]
    spent[MULTIPLIED] = [MULTIPLY_ADDS / A_LANE * one for one in spent[MULTIPLIED]]
    if {VIEWED, REPORTLAB} <= spent.keys():
        both = zip(spent[VIEWED], spent[REPORTLAB], strict=True)
        spent[SET_PLAINLY] = [sum(parts) for parts in both]
    if TRACED in spent:
        larger = pixels / (TRACED_PX[0] * TRACED_PX[1])
        spent[TRACED] = [larger * one for one in spent[TRACED]]
    if GLOSS_ROOM in spent:
        stages = (spent[PATTERN], spent[GLOSS_ROOM], spent[JPEG_ROOM])
        spent[FRAME] = [sum(parts) for parts in zip(*stages, strict=True)]


def _works(demo: Demo) -> dict[str, Work]:
    """Works of one process by name; peers that are absent are left out."""
    from kit.job import Job

    written = demo.job.model_dump_json(by_alias=True)
    printed, bands = demo.print_bands()
    everywhere = Everywhere()
    works: dict[str, Work] = {
        JPEG: demo.encoded("above"),
        PATTERN: demo.pattern(),
        WALK: demo.walk(),
        STROKE: demo.stroke(BLOCKS),
        UNINDEXED: everywhere.added(),
        MULTIPLIED: multiplied(BLOCK, BLOCKS),
        WHOLE: demo.at_once(1.0),
        HALF: demo.at_once(0.5),
        PRINT: printed,
        PNG: as_png(bands),
        FIELD: fielded(),
        **{name: demo.hall(sqft).dragged() for name, sqft in AREAS_SQFT.items()},
        FEW_EVERYWHERE: demo.hall(AREAS_SQFT[FEW]).dragged(everywhere=True),
        MANY_EVERYWHERE: demo.hall(AREAS_SQFT[MANY]).dragged(everywhere=True),
        "recolour, above": demo.recoloured("above", "satin"),
        "re-sheen, above": demo.resheened("above", "satin"),
        JPEG_ROOM: demo.encoded("room"),
        "recolour, room": demo.recoloured("room", "satin"),
        SATIN_ROOM: demo.resheened("room", "satin"),
        GLOSS_ROOM: demo.resheened("room", "gloss"),
        BEDROOM: demo.patch(100.0),
        GARAGE: demo.patch(400.0),
        SMALL: demo.patch(4_000.0),
        LARGE: demo.patch(40_000.0),
        PARSE: lambda: Job.model_validate_json(written),
        PRICE: demo.priced(),
        RISK: demo.risk(),
        DAYS: FortyRooms().planned(),
        DRAW: demo.factors(),
        PACK: packed(demo),
        PROPOSAL: proposed(demo),
        VIEWED: viewing(demo),
    }
    peers: dict[str, tuple[str, Callable[[], Work | None]]] = {
        "cc": (IN_C, everywhere.in_c),
        "jax": (IN_JAX, everywhere.in_jax),
        "moderngl": (IN_GLSL, everywhere.in_glsl),
        "scipy": (SCIPY, warped),
        "opencv-python-headless": (OPENCV, remapped),
        "networkx": (SWEEP, lambda: FortyRooms().swept()),
        "reportlab": (REPORTLAB, lambda: in_reportlab(parts_of(viewing(demo)()))),
        "mitsuba": (TRACED, lambda: traced(demo.frame)),
    }
    for package, (name, made) in peers.items():
        if package not in absent() and (work := made()):
            works[name] = work
    return works
