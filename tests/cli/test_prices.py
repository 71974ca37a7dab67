"""The price book at the command line: written, used, or refused before anything."""

import json

import pytest
from pricebooks import table

from kit.cli import main
from kit.cli.doctor import examined

WAGE = ("Firm", "firm", "wage")


def test_a_book_is_written_and_used_and_told(tmp_path, capsys, demo_sheet):
    book = tmp_path / "mine.xlsx"

    assert main(["prices", "--out", str(book)]) == 0
    assert main(["prices", "--prices", str(book)]) == 0
    assert "0 figures of yours" in capsys.readouterr().out
    assert main(["prices", "--out", str(book)]) == 2
    assert "a file there already" in capsys.readouterr().err
    assert main(["prices"]) == 0
    assert capsys.readouterr().out.startswith("No price book is in use")


def test_a_dearer_wage_asks_more_and_an_old_one_is_told(tmp_path, capsys, demo_sheet):
    old = {"value": "59.00", "as of": "2020-01-01"}
    book = table(tmp_path / "mine.csv", [(WAGE, old)])
    bids = []
    for more in ([], ["--prices", str(book)]):
        assert main(["price", str(demo_sheet), "--json", *more]) == 0
        bids.append(json.loads(capsys.readouterr().out))

    assert float(bids[1]["total"]) > float(bids[0]["total"])
    told = {concern["about"]: concern["says"] for concern in bids[1]["concerns"]}
    assert "the oldest, firm, wage, is of 2020-01-01" in told["stale prices"]
    assert "stale prices" not in {concern["about"] for concern in bids[0]["concerns"]}


@pytest.mark.parametrize("verb", ["price", "propose", "open"])
def test_nothing_is_priced_or_served_from_a_bad_book(tmp_path, capsys, demo_sheet, verb):
    book = table(tmp_path / "mine.csv", [(WAGE, {"value": "-1", "as of": "2026-01-01"})])
    out = ["--out", str(tmp_path / "paper.pdf")] if verb == "propose" else []

    assert main([verb, str(demo_sheet), "--prices", str(book), *out]) == 2

    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        "pourtable: mine.csv, row 3, column D (value): found -1 USD/h; expected at least "
        "0 USD/h\n"
    )
    assert not (tmp_path / "paper.pdf").exists()


def test_the_doctor_finds_a_book_that_cannot_be_read(tmp_path, monkeypatch):
    book = table(tmp_path / "mine.csv")
    monkeypatch.setenv("KIT_PRICE_BOOK", str(book))
    assert [(f.well, f.says) for f in _found()] == [(True, "mine.csv")]

    book.write_text("nothing at all", encoding="utf-8")

    ((well, says),) = [(f.well, f.says) for f in _found()]
    assert not well
    assert "no such heading" in says


def _found():
    return [finding for finding in examined() if finding.name == "price book"]
