"""``doctor``: what is installed, what is missing, and how to get it."""

from __future__ import annotations

import argparse
import platform
import shutil
import tempfile
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, requires, version
from pathlib import Path

from kit import __version__
from kit.kernels import kernels_place
from kit.shipped import shipped

CHROMIUMS = ("chromium", "chromium-browser", "google-chrome")


@dataclass(frozen=True)
class Finding:
    """One thing looked at: there or not, and what to do if not."""

    name: str
    well: bool
    says: str
    needed: bool = True


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Name the verb; it asks for nothing."""
    verb = verbs.add_parser(
        "doctor", help="what is installed, what is missing, how to get it"
    )
    verb.set_defaults(run=run)


def run(_given: argparse.Namespace) -> int:
    """Print every finding; 1 if something needed is missing."""
    findings = examined()
    for finding in findings:
        mark = "ok" if finding.well else "MISSING" if finding.needed else "absent"
        print(f"{mark:<8}{finding.name:<26}{finding.says}")
    return int(any(f.needed and not f.well for f in findings))


def examined() -> list[Finding]:
    """Look at Python, packages, browser, folders and the kit's own files."""
    return [
        Finding("python", True, f"{platform.python_version()}, pourtable {__version__}"),
        *_packages(),
        *_files(),
        _book(),
        _price_book(),
        _folder(
            "compiled kernels",
            kernels_place(),
            "set NUMBA_CACHE_DIR; else each start is slow",
        ),
        _program("chromium", CHROMIUMS, "browser tests: apt-get install chromium"),
        _program(
            "pdftoppm",
            ("pdftoppm",),
            "page pictures in tests: apt-get install poppler-utils",
        ),
    ]


def _packages() -> list[Finding]:
    try:
        wanted = [r for r in requires("pourtable") or () if "extra ==" not in r]
    except PackageNotFoundError:
        return [Finding("pourtable", False, "run from its source; python -m pip install .")]
    found = []
    for requirement in wanted:
        name = requirement.split(">")[0].split("<")[0].split("=")[0].split(";")[0].strip()
        try:
            found.append(Finding(name, True, version(name)))
        except PackageNotFoundError:
            found.append(Finding(name, False, f"python -m pip install '{requirement}'"))
    return found


def _files() -> list[Finding]:
    reinstall = "python -m pip install --force-reinstall ."
    wanted = {"demo sheet": "demo_assets/boathouse.toml", "table": "notebooks/table.ipynb"}
    found = []
    for name, place in wanted.items():
        folder, file = place.split("/")
        path = shipped(folder) / file
        found.append(
            Finding(name, path.is_file(), str(path) if path.is_file() else reinstall)
        )
    return found


def _price_book() -> Finding:
    from kit.errors import KitError
    from kit.stock import read_shelf

    try:
        book = read_shelf().book
    except KitError as error:
        return Finding("price book", False, error.line)
    told = book.file if book else "none; pourtable prices --out BOOK.xlsx writes one"
    return Finding("price book", True, told)


def _book() -> Finding:
    from kit.book import book_place

    place = book_place()
    if isinstance(place, Path):
        remedy = "set KIT_BOOK_URL to a file that can be written"
        return _folder("job book", place.parent, remedy)
    return Finding("job book", True, f"{place}; `jobs check` asks whether it is well")


def _folder(name: str, folder: Path, remedy: str) -> Finding:
    try:
        nearest = next(p for p in (folder, *folder.parents) if p.exists())
        with tempfile.TemporaryFile(dir=nearest):
            return Finding(name, True, str(folder))
    except OSError as error:
        return Finding(name, False, f"{folder}: {error.strerror}; {remedy}", needed=False)


def _program(name: str, names: tuple[str, ...], remedy: str) -> Finding:
    place = next((found for n in names if (found := shutil.which(n))), None)
    return Finding(name, place is not None, place or remedy, needed=False)
