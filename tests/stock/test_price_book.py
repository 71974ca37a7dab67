"""The owner's price book: it is laid over the shelf whole, or refused by its cell."""

import io
import tomllib
import zipfile
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import get_args

import openpyxl
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pricebooks import (
    TODAY,
    all_of_a_day,
    cell_of,
    in_other_units,
    row_number,
    table,
    table_rows,
    workbook,
    written,
)

from kit.errors import OutputError, ShelfError
from kit.record import Record
from kit.stock import read_shelf
from kit.stock.house import Driver
from kit.stock.pricebook import book_bytes, book_in_use, overlaid, using, write_book
from kit.stock.pricebook.quantities import quantity_of
from kit.work.counting import UNITS, WORDS

SHELF = read_shelf()
WAGE = ("Firm", "firm", "wage")
TAX = ("Firm", "firm", "tax")
MARGIN = ("Firm", "firm", "margin")
KIT = ("Kits", "flood_epoxy", "kit of 3 gal")
PIGMENT = ("Pigments", "deep_well", "price")
FILM = ("Coats", "flood", "wet film")
OF_A_DAY = {"as of": "2026-11-20"}


def over(place):
    return overlaid(SHELF, place, today=TODAY)


def without_book(shelf):
    return replace(shelf, book=None)


@pytest.mark.parametrize("ending", [".xlsx", ".csv"])
def test_a_template_laid_over_the_shelf_changes_nothing(tmp_path, ending):
    shelf = over(write_book(SHELF, tmp_path / f"book{ending}"))

    assert without_book(shelf) == SHELF
    assert shelf.book.dated == ()
    assert "firm, wage" in shelf.book.foreign


@pytest.mark.parametrize("make", [table, workbook])
def test_figures_of_the_owner_replace_those_of_the_shelf(tmp_path, make):
    ending = ".csv" if make is table else ".xlsx"
    changes = [
        (WAGE, {"value": "41.75", **OF_A_DAY}),
        (KIT, {"value": "250.00", **OF_A_DAY}),
        (PIGMENT, {"value": "40", "unit": "USD/lb", **OF_A_DAY}),
        (FILM, {"value": "40", **OF_A_DAY}),
        (("Work rates", "grind_field", "one person does"), {
            "value": "300", "unit": "sq ft/h", **OF_A_DAY
        }),
        (("Extras", "crack_repair", "price"), {"value": "13.25", **OF_A_DAY}),
        (("Extras", "cove.trowel_base", "one person does"), {"value": "4", **OF_A_DAY}),
        (("Payments", "1", "part"), {"value": "10"}),
        (("Products", "flood_epoxy", "name"), {"value": "Our clear"}),
    ]  # fmt: skip
    shelf = over(make(tmp_path / f"book{ending}", changes))

    assert shelf.house.wage_per_h == Decimal("41.75")
    packs = {
        round(pack.volume_l, 3): pack.price for pack in shelf.product("flood_epoxy").packs
    }
    assert packs[11.356] == 250
    # 40 a pound of 0.45359237 kg: 88.18 a kilogram, by hand.
    assert float(shelf.pigment("deep_well").price_per_kg) == pytest.approx(40 / 0.45359237)
    assert shelf.coat("flood").film_um == pytest.approx(1016.0)
    rate = next(task.per_person_h for task in shelf.tasks if task.key == "grind_field")
    assert rate == pytest.approx(300 * 0.09290304)
    extras = {extra.key: extra for extra in shelf.extras}
    assert extras["crack_repair"].allowance.price == Decimal("13.25")
    assert extras["cove"].tasks[0].per_person_h == 4.0
    assert [part.weight for part in shelf.house.payments] == [10, 40, 30]
    assert shelf.product("flood_epoxy").name == "Our clear"
    assert shelf.pigment("gull_white") == SHELF.pigment("gull_white")


def test_kits_are_those_of_the_book_and_no_others(tmp_path):
    rows = table_rows()
    rows = [row for row in rows if row[:2] != ["Kits", "flood_epoxy"]]
    rows.append(["Kits", "flood_epoxy", "kit of 10 l", "199.00", "USD", "2026-11-20", ""])

    shelf = over(written(tmp_path / "book.csv", rows))

    assert [(p.volume_l, p.price) for p in shelf.product("flood_epoxy").packs] == [
        (10.0, Decimal("199.00"))
    ]


WRONG = tomllib.loads(
    Path(__file__).with_name("wrong_cells.toml").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("what", WRONG)
def test_a_wrong_cell_is_named_with_what_belongs_there(tmp_path, what):
    wrong = WRONG[what]
    place = table(tmp_path / "book.csv", [(wrong["row"], {**OF_A_DAY, **wrong["cells"]})])

    with pytest.raises(ShelfError) as caught:
        over(place)

    line = caught.value.line
    assert line.startswith("book.csv")
    assert wrong["where"] in line
    assert wrong["says"] in line
    assert "\n" not in line


def test_a_wrong_cell_of_a_workbook_is_named_by_sheet_row_and_column(tmp_path):
    place = workbook(tmp_path / "book.xlsx", [(KIT, {"value": -1, "as of": TODAY})])

    with pytest.raises(ShelfError) as caught:
        over(place)

    assert caught.value.line == (
        "book.xlsx, sheet Kits, row 7, column C (value): found -1; expected at least 0"
    )


def test_a_row_that_stands_twice_is_refused_with_both_places(tmp_path):
    rows = table_rows()
    at = row_number(rows, *WAGE)
    rows.append([*rows[at][:3], "31.00", *rows[at][4:]])

    with pytest.raises(ShelfError) as caught:
        over(written(tmp_path / "book.csv", rows))

    assert caught.value.line == (
        f"book.csv, row {len(rows)}: found firm, wage again; expected it once; it stands "
        f"in row {at + 1} too"
    )


def charged(**changed):
    """Rows of a charge for a haul, with some of its cells changed or left out."""
    rows = {
        "name": ["Haul to the tip", "", ""],
        "kind": ["disposal", "", ""],
        "counted by": ["coating removal", "", ""],
        "price": ["0.90", "USD/sq ft", "2026-11-20"],
        "least": ["120", "USD", "2026-11-20"],
        **changed,
    }
    return [["Charges", "haul", name, *cells, ""] for name, cells in rows.items() if cells]


def test_charges_of_others_are_the_owners_to_add(tmp_path):
    place = written(tmp_path / "book.csv", [*table_rows(), *charged()])

    (charge,) = over(place).charges

    assert (charge.key, charge.kind, charge.driver) == (
        "haul",
        "disposal",
        "coating_removal",
    )
    assert float(charge.price) == pytest.approx(0.90 / 0.09290304)
    assert charge.least == 120
    again = over(write_book(over(place), tmp_path / "again.xlsx"))
    assert (again.charges, set(again.book.dated)) == (
        over(place).charges, set(over(place).book.dated)
    )  # fmt: skip


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ({"kind": None}, "found no kind of haul; expected one"),
        (
            {"kind": ["favor", "", ""]},
            "column D (value): found favor; expected 'subcontract'",
        ),
        (
            {"counted by": ["moon", "", ""]},
            "column D (value): found moon; expected one of area",
        ),
        ({"price": ["1", "USD/sq ft", ""]}, "column F (as of): found nothing"),
        ({"price": ["-1", "USD/m2", "2026-11-20"]}, "found -1; expected at least 0"),
        ({"price": ["1", "USD", "2026-11-20"]}, "found USD; expected USD/sq ft or USD/m2"),
        ({"whim": ["1", "", ""]}, "column C (figure): found whim; expected one of name"),
    ],
)
def test_a_charge_that_is_none_is_refused(tmp_path, cells, says):
    place = written(tmp_path / "book.csv", [*table_rows(), *charged(**cells)])

    with pytest.raises(ShelfError) as caught:
        over(place)

    assert says in caught.value.line


def test_a_payment_may_wait_until_it_is_earned(tmp_path):
    place = table(tmp_path / "b.csv", [(("Payments", "2", "earned"), {"value": "yes"})])

    assert [part.earned for part in over(place).house.payments] == [False, True, False]
    table(place, [(("Payments", "2", "earned"), {"value": "maybe"})])
    with pytest.raises(ShelfError, match="found maybe; expected yes or no"):
        over(place)


@pytest.mark.parametrize("driver", get_args(Driver))
def test_work_is_rated_in_the_units_that_it_is_counted_in(driver):
    task = SHELF.tasks[0].changed(driver=driver)
    info = type(task).model_fields["per_person_h"]

    units = quantity_of("per_person_h", info, task).units

    counted = {"m²": "m2/h", "m": "m/h"}.get(UNITS.get(driver), "")
    assert counted in units if counted else units == {f"{WORDS[driver]}s/h": 1}


@pytest.mark.parametrize(
    ("gone", "says"),
    [
        (WAGE, "book.csv, sheet Firm: found no row firm, wage; expected one"),
        (PIGMENT, "book.csv, sheet Pigments: found no row deep_well, price; expected one"),
        (("Payments", "2", "due"), "found no due of payment 2; expected one"),
        (("Payments", "1", "part"), "found no part of payment 1; expected one"),
    ],
)
def test_a_row_that_is_missing_is_named(tmp_path, gone, says):
    rows = table_rows()
    del rows[row_number(rows, *gone)]

    with pytest.raises(ShelfError) as caught:
        over(written(tmp_path / "book.csv", rows))

    assert says in caught.value.line


def test_things_that_a_book_does_not_name_stay_and_are_told(tmp_path):
    rows = [row for row in table_rows() if row[0] in ("sheet", "Firm")]
    for row in rows[1:]:
        row[5] = "2026-11-20"

    shelf = over(written(tmp_path / "book.csv", rows))

    assert shelf.pigments == SHELF.pigments
    (concern,) = shelf.book.concerns(TODAY, lasts_days=180)
    assert concern.about == "prices that are not yours"
    assert "firm, wage" not in shelf.book.foreign
    assert "Deep well, price" in shelf.book.foreign


def test_a_firm_in_another_currency_needs_all_prices_of_its_own(tmp_path):
    rows = table_rows()
    for row in rows[1:]:
        row[4] = row[4].replace("USD", "EUR")
        row[5] = "2026-11-20"
    rows[1][3] = "EUR"
    whole = over(written(tmp_path / "whole.csv", rows))
    rows = [row for row in rows if row[:2] != ["Kits", "cove_mortar"]]

    assert whole.house.currency == "EUR"
    assert whole.book.foreign == ()
    with pytest.raises(
        ShelfError, match=r"part\.csv, .*found no price of yours, and one in USD"
    ):
        over(written(tmp_path / "part.csv", rows))


def test_units_of_the_other_system_change_nothing(tmp_path):
    rows = in_other_units(table_rows())
    for row in rows[1:]:
        row[5] = "2026-11-20"

    shelf = over(written(tmp_path / "book.csv", rows))

    for field in ("products", "pigments", "tints", "coats", "finishes", "tasks", "extras"):
        for ours, theirs in zip(
            numbers(getattr(SHELF, field)), numbers(getattr(shelf, field)), strict=True
        ):
            assert theirs == pytest.approx(ours, rel=1e-9)
    assert shelf.house.margin_share == SHELF.house.margin_share
    assert shelf.house.batch_l == pytest.approx(SHELF.house.batch_l)


def numbers(held):
    """All numbers in records, in their order."""
    if isinstance(held, int | float | Decimal):
        return [float(held)]
    if isinstance(held, tuple | list):
        return [number for one in held for number in numbers(one)]
    return numbers(list(dict(held).values())) if isinstance(held, Record) else []


@pytest.mark.parametrize("ends", ["\r\n", "\n"])
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_tables_are_read_however_a_spreadsheet_writes_them(
    tmp_path, ends, coding, delimiter
):
    place = table(
        tmp_path / "book.csv",
        [(WAGE, {"value": "41.75", **OF_A_DAY})],
        ends=ends,
        coding=coding,
        delimiter=delimiter,
    )

    assert over(place).house.wage_per_h == Decimal("41.75")


def test_decimal_commas_are_read_where_semicolons_part_the_cells(tmp_path):
    rows = table_rows()
    for row in rows[1:]:
        if row[2] != "name":
            row[3] = row[3].replace(".", ",")

    shelf = over(written(tmp_path / "book.csv", rows, delimiter=";"))

    assert without_book(shelf) == SHELF


def test_a_point_and_a_comma_in_one_table_are_not_guessed_at(tmp_path):
    """1,234 beside 29.50 might be one and a bit, or more than a thousand."""
    place = table(
        tmp_path / "b.csv", [(WAGE, {"value": "1,234", **OF_A_DAY})], delimiter=";"
    )

    with pytest.raises(ShelfError, match="expected a plain number such as"):
        over(place)


def test_a_percentage_that_says_so_is_a_share(tmp_path):
    """A spreadsheet writes a cell in its percent format as 8.25% into a table."""
    place = table(
        tmp_path / "b.csv", [(TAX, {"value": "8.25%", "unit": "share", **OF_A_DAY})]
    )

    assert over(place).house.tax_share == Decimal("0.0825")


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "found no figures"),
        (b"\xff\xfe\x00s", "bytes that are no text"),
        (b"a,b\n1,2\n", "row 1, column sheet: found no such heading"),
        (b"sheet,thing,figure,value,unit,as of,thing\n", "column thing: found it twice"),
        (
            b"sheet,thing,figure,value,unit,as of\nFirm,,wage,3,,\n",
            "B (thing): found nothing",
        ),
    ],
)
def test_a_table_that_is_none_is_refused(tmp_path, content, says):
    place = tmp_path / "book.csv"
    place.write_bytes(content)

    with pytest.raises(ShelfError) as caught:
        over(place)

    assert says in caught.value.line


@pytest.mark.parametrize(
    "content", [b"", b"PK\x03\x04 not a zip", b"\xd0\xcf\x11\xe0" * 20]
)
def test_a_workbook_that_is_none_is_refused(tmp_path, content):
    place = tmp_path / "book.xlsx"
    place.write_bytes(content)

    with pytest.raises(ShelfError, match=r"book\.xlsx: found no workbook"):
        over(place)


def test_a_damaged_workbook_is_refused(tmp_path):
    whole = book_bytes(SHELF, ".xlsx")
    place = tmp_path / "book.xlsx"
    with (
        zipfile.ZipFile(io.BytesIO(whole)) as good,
        zipfile.ZipFile(place, "w") as bad,
    ):
        for part in good.infolist():
            content = good.read(part)
            half = part.filename.endswith("sheet2.xml")
            bad.writestr(part.filename, content[: len(content) // 2] if half else content)

    with pytest.raises(ShelfError, match=r"book\.xlsx: found a damaged workbook"):
        over(place)


def test_neither_another_ending_nor_a_missing_file_is_a_book(tmp_path):
    (tmp_path / "book.ods").write_bytes(b"")
    with pytest.raises(ShelfError, match=r"found \.ods; expected \.xlsx or \.csv"):
        over(tmp_path / "book.ods")
    with pytest.raises(ShelfError, match="No such file"):
        over(tmp_path / "none.csv")


def test_a_file_as_big_as_no_book_is_refused_unread(tmp_path):
    place = tmp_path / "book.csv"
    place.write_bytes(b"x" * 5_000_001)

    with pytest.raises(ShelfError, match=r"found 5\.0 MB"):
        over(place)


def test_a_workbook_that_unpacks_to_a_mountain_is_refused(tmp_path):
    place = tmp_path / "book.xlsx"
    with zipfile.ZipFile(place, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", b" " * 51_000_000)

    with pytest.raises(ShelfError, match="found 51 MB unpacked"):
        over(place)


def test_a_formula_that_was_never_computed_is_refused(tmp_path):
    place = workbook(tmp_path / "book.xlsx", [(WAGE, {"value": "=20+9.5", "as of": TODAY})])

    with pytest.raises(ShelfError) as caught:
        over(place)

    assert caught.value.line == (
        "book.xlsx, sheet Firm, row 3, column C (value): found the formula =20+9.5 "
        "without a result; save it in a spreadsheet; expected a value"
    )


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ({"value": True}, "found True; expected a number"),
        ({"value": "#DIV/0!"}, "found #DIV/0!; expected a value"),
        ({"as of": 46000}, "expected a day such as 2026-11-25"),
        ({"value": "41,75"}, "expected a plain number"),
    ],
)
def test_cells_that_hold_something_else_are_refused(tmp_path, cells, says):
    place = workbook(tmp_path / "book.xlsx", [(WAGE, {"as of": TODAY, **cells})])

    with pytest.raises(ShelfError) as caught:
        over(place)

    assert says in caught.value.line


def test_a_price_shown_in_another_currency_is_refused(tmp_path):
    place = workbook(tmp_path / "b.xlsx", formats=[(KIT, "#,##0.00 [$€-407]")])

    with pytest.raises(
        ShelfError, match="found a price shown in EUR; expected one currency"
    ):
        over(place)


def test_noise_of_a_spreadsheets_arithmetic_is_no_digit(tmp_path):
    place = workbook(tmp_path / "b.xlsx", [(WAGE, {"value": 0.1 + 0.2, "as of": TODAY})])

    assert over(place).house.wage_per_h == Decimal("0.3")


def test_sheets_and_columns_of_the_owners_own_are_left_alone(tmp_path):
    place = workbook(tmp_path / "book.xlsx")
    book = openpyxl.load_workbook(place)
    book.create_sheet("What the dealer said").append(["anything", "at", "all"])
    cell_of(book, WAGE, "what it is").offset(0, 1).value = "=never+computed"
    book.save(place)

    assert without_book(over(place)) == SHELF


def test_a_sheet_of_ours_under_another_title_is_not_passed_over(tmp_path):
    place = workbook(tmp_path / "book.xlsx")
    book = openpyxl.load_workbook(place)
    book["Pigments"].title = "Pigments (2)"
    book.save(place)

    with pytest.raises(ShelfError, match=r"sheet Pigments \(2\): found a title"):
        over(place)


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
@pytest.mark.parametrize("words", ["=HYPERLINK(1)", "+1", "-1+1", "@SUM(A1)", "\t=1"])
def test_no_word_of_ours_is_run_by_a_spreadsheet(tmp_path, ending, words):
    product = SHELF.product("flood_epoxy").changed(name=words)
    products = tuple(product if p.key == product.key else p for p in SHELF.products)
    shelf = replace(SHELF, products=products)
    place = write_book(shelf, tmp_path / f"book{ending}")

    if ending == ".csv":
        rows = table_rows(shelf)
        assert not any(cell.startswith(tuple("=+-@\t\r")) for row in rows for cell in row)
    else:
        book = openpyxl.load_workbook(place)
        cell = cell_of(book, ("Products", "flood_epoxy", "name"), "value")
        assert (cell.data_type, cell.value) == ("s", words)
    assert over(place).product("flood_epoxy").name.strip() == words.strip()


def test_prices_go_stale_the_day_after_they_last(tmp_path):
    shelf = over(all_of_a_day(tmp_path / "book.csv", "2026-05-01"))
    last = date(2026, 5, 1) + timedelta(days=180)

    assert shelf.book.concerns(last, lasts_days=180) == ()
    (concern,) = shelf.book.concerns(last + timedelta(days=1), lasts_days=180)
    assert concern.about == "stale prices"
    prices = [figure for figure in shelf.book.dated if figure.is_price]
    told = f"{len(prices)} of the {len(prices)} prices in book.csv are more than 180 days"
    assert concern.says.startswith(told)
    assert len(shelf.book.dated) > len(prices) > 40
    assert "is of 2026-05-01" in concern.says


def test_a_bid_by_stale_prices_says_so_to_the_owner_only(tmp_path, demo_job):
    from kit.job import workup

    stale = over(all_of_a_day(tmp_path / "book.csv", "2025-01-01"))
    answers = workup(demo_job, stale)

    assert "stale prices" in [c.about for c in answers.bid.concerns]
    assert "stale prices" in [c.about for c in answers.concerns]
    assert answers.offer == workup(demo_job, SHELF).offer
    assert "stale" not in repr(answers.offer)


def test_a_book_of_a_book_keeps_figures_and_days(tmp_path):
    first = over(
        table(tmp_path / "a.csv", [(WAGE, {"value": "41.75", **OF_A_DAY}), (KIT, OF_A_DAY)])
    )

    again = over(write_book(first, tmp_path / "b.xlsx"))

    assert without_book(again) == without_book(first)
    assert set(again.book.dated) == set(first.book.dated)
    assert len(again.book.dated) == 2


def test_a_book_that_may_be_filled_in_is_never_written_over(tmp_path):
    place = write_book(SHELF, tmp_path / "book.csv")
    before = place.read_bytes()

    with pytest.raises(OutputError, match="found a file there already"):
        write_book(SHELF, place)
    assert place.read_bytes() == before
    with pytest.raises(OutputError, match=r"found \.ods; expected \.xlsx or \.csv"):
        write_book(SHELF, tmp_path / "book.ods")


def test_the_environment_names_the_book_in_use(tmp_path, monkeypatch):
    place = table(
        tmp_path / "book.csv", [(WAGE, {"value": "41.75", "as of": "2026-01-02"})]
    )

    assert book_in_use() is None
    monkeypatch.setenv("KIT_PRICE_BOOK", str(place))
    assert read_shelf().house.wage_per_h == Decimal("41.75")
    assert read_shelf() is read_shelf()
    with using(tmp_path / "gone.csv"), pytest.raises(ShelfError, match="found no file"):
        read_shelf()
    assert book_in_use() == place


def test_a_book_in_the_configuration_folder_is_used_unnamed(tmp_path, monkeypatch):
    from kit.stock.pricebook import place

    monkeypatch.delenv("KIT_PRICE_BOOK")
    monkeypatch.setattr(place, "_folder", lambda: tmp_path)
    assert book_in_use() is None
    book = write_book(SHELF, tmp_path / "price-book.csv")
    assert book_in_use() == book
    write_book(SHELF, tmp_path / "price-book.xlsx")
    with pytest.raises(ShelfError, match=r"found price-book\.xlsx and price-book\.csv"):
        book_in_use()


def test_a_book_that_was_edited_is_read_again(tmp_path):
    place = table(tmp_path / "book.csv", [(WAGE, {"value": "41.75", **OF_A_DAY})])
    assert over(place).house.wage_per_h == Decimal("41.75")

    table(place, [(WAGE, {"value": "42.5", **OF_A_DAY})])

    assert over(place).house.wage_per_h == Decimal("42.5")


@settings(max_examples=25)
@example(price=Decimal(0), film_um=1.0000000000000002, size_l=1.0)
@given(
    st.decimals(min_value=0, max_value=100_000, places=4, allow_nan=False),
    st.floats(1.0, 5000.0),
    st.floats(0.01, 900.0),
)
def test_any_figure_comes_back_as_it_was_written(tmp_path_factory, price, film_um, size_l):
    house = SHELF.house.changed(wage_per_h=price)
    coats = tuple(coat.changed(film_um=film_um) for coat in SHELF.coats)
    products = tuple(
        p.changed(packs=(p.packs[0].changed(volume_l=float(f"{size_l:.10g}")),))
        for p in SHELF.products
    )
    shelf = replace(SHELF, house=house, coats=coats, products=products)
    place = write_book(shelf, tmp_path_factory.mktemp("books") / "book.csv")

    assert without_book(overlaid(shelf, place, today=TODAY)) == shelf


ROWS = table_rows()
ODD = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        ["nan", "inf", "-0", "1e5", "1E+99", "٣٫٥", "²", "0x10", "1_000", "''=", "%"]
    ),
    st.decimals(allow_nan=False, allow_infinity=False, places=3).map(str),
)


@settings(max_examples=50)
@given(st.integers(1, len(ROWS) - 1), st.integers(0, 5), ODD)
def test_whatever_stands_in_a_cell_is_taken_or_refused_by_its_place(
    tmp_path_factory, row, column, words
):
    rows = [list(cells) for cells in ROWS]
    rows[row][5] = "2026-11-20"
    rows[row][column] = words
    place = written(tmp_path_factory.mktemp("odd") / "book.csv", rows)

    assert "book.csv" in taken_or_refused(place)


def taken_or_refused(place):
    """The name of the book that was taken, or the complaint about it."""
    try:
        return over(place).book.file
    except ShelfError as error:
        return error.line


@settings(max_examples=15)
@given(
    st.one_of(
        st.integers(-(10**18), 10**18),
        st.floats(allow_nan=False, allow_infinity=False),
        st.booleans(),
        st.dates(date(1900, 3, 1), date(2100, 1, 1)),
        st.text(st.characters(codec="ascii", exclude_categories=["Cc"]), max_size=8),
    ),
    st.sampled_from([WAGE, TAX, KIT, FILM]),
    st.sampled_from(["value", "as of", "unit"]),
)
def test_whatever_a_workbook_holds_is_taken_or_refused_by_its_place(
    tmp_path_factory, value, key, column
):
    place = tmp_path_factory.mktemp("odd") / "book.xlsx"
    workbook(place, [(key, {"as of": TODAY, column: value})], only=("Firm", key[0]))

    assert "book.xlsx" in taken_or_refused(place)
