"""Price books through a real spreadsheet program: opened, saved, and read unchanged."""

import os
import shutil
import subprocess
from dataclasses import replace

import pytest
from pricebooks import TODAY, all_of_a_day

from kit.stock import read_shelf
from kit.stock.pricebook import overlaid, write_book
from kit.stock.pricebook.rows import read_rows

SHELF = read_shelf()
COMMAS_UTF8 = "Text - txt - csv (StarCalc):44,34,76,1"
"""Cells parted by commas, in double quotes, as UTF-8, from the first row."""


@pytest.fixture(scope="module")
def saved(tmp_path_factory):
    """Open a file in LibreOffice without a screen and save it in a format."""
    program = shutil.which("soffice") or shutil.which("libreoffice")
    if program is None:
        missing = "no LibreOffice is installed: apt-get install libreoffice-calc-nogui"
        if os.environ.get("KIT_REQUIRE_LIBREOFFICE") == "1":
            pytest.fail(missing)
        pytest.skip(missing)
    home = tmp_path_factory.mktemp("spreadsheet")

    def save(place, to):
        out = home / place.stem / to
        guessed = [f"--infilter={COMMAS_UTF8}"] if place.suffix == ".csv" else []
        subprocess.run(
            [
                program, f"-env:UserInstallation={(home / 'profile').as_uri()}",
                "--headless", *guessed,
                "--convert-to", f"csv:{COMMAS_UTF8}" if to == "csv" else to,
                "--outdir", str(out), str(place),
            ],
            check=True, capture_output=True, timeout=300,
        )  # fmt: skip
        return out / place.with_suffix(f".{to}").name

    return save


def told(place):
    """Rows of a book as a person reads them."""
    return [
        (*row.key, row.value.value, row.unit.text, str(row.as_of.value or ""))
        for row in read_rows(place)
    ]


@pytest.fixture(scope="module")
def filled_in(tmp_path_factory):
    """A book of the owner's with days, as a workbook and as a table."""
    folder = tmp_path_factory.mktemp("books")
    shelf = overlaid(SHELF, all_of_a_day(folder / "days.csv"), today=TODAY)
    return {
        ending: write_book(shelf, folder / f"book{ending}") for ending in (".xlsx", ".csv")
    }


@pytest.mark.slow
def test_a_workbook_comes_back_unchanged(saved, filled_in):
    books = filled_in
    again = saved(books[".xlsx"], "xlsx")

    assert again.read_bytes() != books[".xlsx"].read_bytes()
    assert told(again) == told(books[".xlsx"])
    assert overlaid(SHELF, again, today=TODAY) == overlaid(
        SHELF, books[".xlsx"], today=TODAY
    )


@pytest.mark.slow
def test_a_table_comes_back_unchanged(saved, filled_in):
    books = filled_in
    again = saved(books[".csv"], "csv")

    assert overlaid(SHELF, again, today=TODAY) == overlaid(
        SHELF, books[".csv"], today=TODAY
    )


@pytest.mark.slow
def test_a_table_saved_as_a_workbook_is_the_same_book(saved, filled_in):
    again = saved(filled_in[".csv"], "xlsx")

    ours, theirs = (
        overlaid(SHELF, place, today=TODAY) for place in (filled_in[".csv"], again)
    )
    assert theirs.book.dated == ours.book.dated
    assert replace(theirs, book=ours.book) == ours


@pytest.mark.slow
def test_a_formula_is_read_as_the_spreadsheet_computed_it(saved, tmp_path):
    from pricebooks import workbook

    wage = ("Firm", "firm", "wage")
    never = workbook(
        tmp_path / "formula.xlsx", [(wage, {"value": "=20+9.75", "as of": TODAY})]
    )

    computed = saved(never, "xlsx")

    assert str(overlaid(SHELF, computed, today=TODAY).house.wage_per_h) == "29.75"
