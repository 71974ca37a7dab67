"""The price on the command line: every figure, its trail, its risk, its charts."""

import json
import re
from decimal import Decimal

import pytest
from sheets import PLAIN

from kit.cli import main


@pytest.fixture
def sheet(tmp_path):
    path = tmp_path / "den.toml"
    path.write_text(PLAIN, encoding="utf-8")
    return path


def told(capsys, *arguments):
    assert main(["price", *map(str, arguments)]) == 0
    return capsys.readouterr().out


def test_the_table_shows_quantities_price_alternates_and_payments(sheet, capsys):
    said = told(capsys, sheet)

    for words in (
        *("Takeoff", "Net area", "Coats", "Flood coat, to mix", "Order", "Person-hours"),
        *("Labor", "Disposal", "Overhead", "Contingency", "Total", "Per sq ft"),
        *("margin", "markup", "Floor price", "Finish", "Gloss", "Extra"),
        *("Moisture primer", "One more color", "Crack repair allowance", "Payments"),
        "No region is set; look up what your law lets you ask at signing.",
    ):
        assert words in said
    assert "Risk" not in said
    assert max(map(len, said.splitlines())) <= 110


def test_the_lines_of_the_table_sum_to_its_total(sheet, capsys):
    rows = told(capsys, sheet).splitlines()
    start = rows.index("Price, USD") + 1
    end = next(n for n, row in enumerate(rows) if row.startswith("Total"))
    amounts = [row[34:49].strip().replace(",", "") for row in rows[start : end - 1]]

    total = Decimal(rows[end].split()[1].replace(",", ""))
    assert sum(Decimal(amount) for amount in amounts if amount) == total


def test_the_trail_leads_from_the_total_to_the_tape(sheet, capsys):
    rows = told(capsys, sheet, "--trail").splitlines()
    rows = rows[rows.index("How each figure came to be") :]

    total = next(n for n, row in enumerate(rows) if row.startswith("  Total: $"))
    assert any("outline" in row for row in rows[:total])
    flood = next(n for n, row in enumerate(rows) if row.startswith("    Flood coat: $"))
    assert rows[flood + 1].startswith("      Flood coat, bought: ")
    assert rows[flood + 2].startswith("        Flood coat, to mix: ")
    grind = next(n for n, row in enumerate(rows) if "      Grind the open floor: " in row)
    assert rows[grind + 1].startswith("        Net area: ")
    margin = next(n for n, row in enumerate(rows) if row.startswith("    Margin: $"))
    assert rows[margin + 1].startswith("      Lines above: $")


def test_json_holds_every_figure_and_its_trail(sheet, capsys):
    written = json.loads(told(capsys, sheet, "--json", "--trail", "--risk", "--draws", 500))

    assert {
        *("takeoff", "coats", "order", "work", "lines", "options", "extras", "payments"),
        *("margin_share", "markup_share", "floor_price", "discount", "rounding", "risk"),
        *("trail", "concerns", "before_tax", "tax_on_price"),
    } <= written.keys()
    price = written["trail"][-1]
    assert price["name"] == "Total"
    assert sum(Decimal(p["value"]) for p in price["parts"]) == Decimal(written["total"])
    parts = [Decimal(one["amount"]) for one in written["payments"]["parts"]]
    assert sum(parts) == Decimal(written["total"])
    risk = written["risk"]
    assert risk["p50"] < risk["p80"] < risk["p90"]
    assert 0 <= risk["chance_of_loss"] <= 1
    assert risk["estimate_class"]["number"] in (2, 3)


def test_the_risk_is_told_with_its_sampling_error_and_its_class(sheet, capsys):
    said = told(capsys, sheet, "--risk", "--draws", 2000, "--seed", 7)

    for words in (
        *("2,000 floors drawn, seed 7", "P50", "P80", "P90", "Chance of losing money"),
        *("one sigma of the draws alone", "What drives it", "Film build", "AACE 56R-08"),
    ):
        assert words in said


def test_a_discount_on_the_sheet_is_in_the_price(sheet, capsys):
    plain = json.loads(told(capsys, sheet, "--json"))
    sheet.write_text(PLAIN + '\n[discount]\nshare = 0.05\nreason = "Both"\n', "utf-8")
    less = json.loads(told(capsys, sheet, "--json"))

    assert Decimal(less["discount"]) == Decimal(plain["total"]) - Decimal(less["total"]) > 0
    assert any(line["how"].endswith(", Both") for line in less["lines"])


@pytest.mark.parametrize(
    ("table", "told_"),
    [
        ("[discount]\nshare = 5", "discount, share: found 5; expected less than 1"),
        (
            "[discount]\namount = 99999",
            "discount, amount: found $99,999.00; expected at",
        ),
        ("[discount]\nshare = 0.1\namount = 5", "discount: found share 0.1 and amount 5"),
        ("[discount]\nrate = 0.1", "discount, rate: found a name that is not known here"),
        ("[discounts]\nshare = 0.1", "discounts: found a table not known here"),
    ],
)
def test_a_discount_that_cannot_be_is_one_line(sheet, capsys, table, told_):
    sheet.write_text(f"{PLAIN}\n{table}\n", "utf-8")

    assert main(["price", str(sheet)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert told_ in said.err


@pytest.mark.parametrize("draws", ["0", "99", "5000000"])
def test_absurd_draws_are_one_line(sheet, capsys, draws):
    assert main(["price", str(sheet), "--draws", draws]) == 2
    assert f"draws: found {draws}; expected 100 to 2,000,000" in capsys.readouterr().err


def test_a_seed_below_nothing_is_one_line(sheet, capsys):
    assert main(["price", str(sheet), "--seed", "-1"]) == 2
    assert "seed: found -1; expected 0 or more" in capsys.readouterr().err


def test_charts_are_written_all_or_none(sheet, capsys):
    from PIL import Image

    folder = sheet.parent / "charts"
    told(capsys, sheet, "--charts", folder, "--draws", 500)
    names = {"build_up.png", "spread.png", "odds.png", "drivers.png"}
    assert {path.name for path in folder.iterdir()} == names
    for name in names:
        with Image.open(folder / name) as picture:
            assert picture.width > 1000
            assert len(picture.convert("RGB").getcolors(2**24)) > 20

    assert main(["price", str(sheet), "--charts", str(sheet)]) == 2
    assert "expected a folder" in capsys.readouterr().err


def test_changing_units_changes_nothing(sheet, capsys):
    """A foot is 30.48 cm exactly, so the metric sheet is the same floor."""
    plain = json.loads(told(capsys, sheet, "--json"))

    def metric(match):
        feet, inches = (int(part or 0) for part in match.groups())
        return f"{30.48 * feet + 2.54 * inches:.2f} cm"

    text = re.sub(r"(?<![\w.])(\d+)'(?: (\d+)\\\")?", metric, PLAIN).replace(" ft", "'")
    text = re.sub(r"(?<![\w.])(\d+)'(?: (\d+)\\\")?", metric, text)
    assert text.count(" cm") > 8
    sheet.write_text(text, "utf-8")
    assert json.loads(told(capsys, sheet, "--json")) == plain


@pytest.mark.parametrize(
    ("currency", "amount"),
    [("USD", r"[\d,]+\.\d\d"), ("JPY", r"[\d,]+"), ("KWD", r"[\d,]+\.\d\d\d")],
)
def test_amounts_have_the_digits_of_their_currency(demo_job, currency, amount):
    """Two, none and three, by ISO 4217, from memory."""
    from floors import shelf_with

    from kit.cli.price_words import in_words
    from kit.job import workup

    shelf = shelf_with(currency=currency)
    rows = in_words(workup(demo_job, shelf), shelf).splitlines()
    start = rows.index(f"Price, {currency}") + 1
    totals = [row.split()[1] for row in rows[start:] if row.startswith(("Total", "Margin"))]

    assert len(totals) == 2
    assert all(re.fullmatch(amount, total) for total in totals)
