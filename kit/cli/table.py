"""``open [SHEET | FILE.json | --new]``: the table, as a page or as a notebook.

Without any of them it goes on with the job kept last, or begins on the demo's.
"""

from __future__ import annotations

import argparse

from kit.cli.asking import add_prices, add_sheet
from kit.errors import SheetError
from kit.shipped import shipped


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb and what it asks for."""
    verb = verbs.add_parser("open", help="the table, in a browser")
    add_sheet(verb, optional=True)
    add_prices(verb)
    verb.add_argument("--new", action="store_true", help="with nothing measured yet")
    verb.add_argument(
        "--notebook", action="store_true", help="in JupyterLab, with its code"
    )
    verb.add_argument("--no-browser", action="store_true", help="only print the address")
    verb.add_argument("--port", type=int, default=0, help="else any that is free")
    verb.set_defaults(run=run)


def run(given: argparse.Namespace) -> int:
    """Serve the table until it is stopped."""
    from kit.bench.serving import serve

    if given.new and given.sheet:
        raise SheetError("--new", found="a sheet with it", expected="one or the other")
    sheet = given.sheet or shipped("demo_assets") / "boathouse.toml"
    return serve(
        None if given.new else sheet.resolve(),
        goes_on=not (given.new or given.sheet),
        notebook=given.notebook,
        browser=not given.no_browser,
        port=given.port,
    )
