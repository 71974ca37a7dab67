"""``plan SHEET --out FILE.pdf``: the crew's paper."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from kit.cli.asking import add_sheet, ending
from kit.errors import SheetError
from kit.job import Job, Pictures, workup
from kit.stock.cures import RECOAT_AT_C
from kit.units import read_fahrenheit
from kit.writing import writable_folder, write_file

if TYPE_CHECKING:
    from kit.job import Workup


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("plan", help="the job pack as a PDF: map, mix cards, lists, logs")
    add_sheet(verb)
    verb.add_argument("--out", type=Path, required=True, metavar="FILE.pdf")
    verb.add_argument("--crew", type=int, metavar="N", help="people on site; else the usual")
    verb.add_argument(
        "--slab", metavar="DEGREES", help="its temperature, such as 70F; else 70 °F"
    )
    verb.set_defaults(run=run)
