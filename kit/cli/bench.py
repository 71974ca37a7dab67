"""``bench [--quick]``: how fast the kit is here, as ratios to well-known work."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kit.measure import Row

NOTE = """\
CPU time of one thread, stages and peers in turn, medians; a ratio is taken within a round.
The row of two threads is by the clock instead, and left out where a core is not free.
Frames are 960x600. JPEG is Pillow's encode of the same frame as the table sends it,
quality 88, 4:4:4. Paths are traced by Mitsuba's scalar variant on a smaller frame and
scaled by pixels. A drag is one stroke at one moment of its path; multiply-adds and warps
are scaled from one that was timed. 64 strokes, 256 and 1,024 drags are those of bare
floors of 500, 335 and 1,960 sq ft that fill the frame, walked back with their Jacobian,
without walls and levelling, which a warp does not have either; everywhere, each is asked
at every place. The walk back of a frame is the demo's, with walls and levelling, beside
as many warps as 64 strokes take. 64 strokes everywhere act at 256,000 places, their
gradients told besides. 80 Mpx stand for four bands of them, film and shade. A frame of
the room is film, sheen and JPEG.
Other typesetters set the words and pictures of the proposal plainly, ready cut, without
its drawings and gate. ReportLab's time has that of the pictures on top and tags nothing;
WeasyPrint tags for PDF/UA, in a process of its own, as is the cold proposal.
The job is priced from takeoff to alternates: its plan is kept, kits and words are not.
The book has 2,000 jobs of ten revisions each; opening one is beside bare SQL and parsing.
Rows without a goal are told only."""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("bench", help="how fast the kit is here, as ratios")
    verb.add_argument(
        "--quick", action="store_true", help="fewer rounds: to look, not to quote"
    )
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Time the kit and print the table."""
    from kit.measure import facts, table_of

    for name, fact in facts().items():
        print(f"{name:<14}{fact}")
    print(f"\n{in_words(table_of(quick=given.quick))}\n\n{NOTE}")


def in_words(rows: list[Row]) -> str:
    """Lay the rows out for a terminal, figures right."""
    head = f"{'stage':<26}{'ms':>9}  {'peer':<26}{'ms':>9}{'ratio':>9}{'goal':>7}  met"
    said = [head, "─" * len(head)]
    for row in rows:
        goal = "" if row.goal is None else f"{row.goal:.2g}"
        met = {True: "yes", False: "no", None: ""}[row.is_met]
        said.append(
            f"{row.work:<26}{row.work_ms:>9.4g}  {row.peer:<26}{row.peer_ms:>9.4g}"
            f"{row.times:>9.3g}{goal:>7}  {met}"
        )
    return "\n".join(said)
