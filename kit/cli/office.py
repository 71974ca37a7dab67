"""``office --out FOLDER``: the configuration of an office, to be changed and run."""

from __future__ import annotations

import argparse
from pathlib import Path


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser(
        "office", help="a JupyterHub configuration: a table for each, one job book for all"
    )
    verb.add_argument("--out", type=Path, required=True, metavar="FOLDER")
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> None:
    """Write the files out and say where they are."""
    from kit.office import write_office

    for file in write_office(given.out):
        print(file)
