"""Climate on a sheet and in a CSV: units, gaps, and lines that are named."""

import datetime

import pytest
from sheets import PLAIN

from kit.errors import SheetError
from kit.record import filled
from kit.site import Climate, Crew
from kit.site.climate import forecast_from_csv, without_gaps
from kit.site.sheet import read_sheet
from kit.site.temperatures import read_humidity, read_temperature

HEAD = "at,air_f,humidity_percent,slab_f\n"
ROW = "2026-12-01 07:00,68,50,62\n"


@pytest.mark.parametrize(
    ("text", "celsius"),
    [("68 °F", 20.0), ("68F", 20.0), ("20 C", 20.0), ("20,5 °C", 20.5), ("-4 °F", -20.0)],
)
def test_temperatures_are_read_with_their_unit(text, celsius):
    assert read_temperature(text) == pytest.approx(celsius)


@pytest.mark.parametrize("text", ["68", "warm", "", 68, "200 °C", "68 K"])
def test_a_temperature_without_a_unit_is_refused(text):
    with pytest.raises(SheetError):
        read_temperature(text)


@pytest.mark.parametrize("text", ["50", "0 %", "120 %", 50, "damp"])
def test_a_humidity_without_a_percent_sign_is_refused(text):
    with pytest.raises(SheetError):
        read_humidity(text)


def test_a_csv_names_its_units_in_its_head():
    (row,) = forecast_from_csv(HEAD + ROW)

    assert row == {
        "at": datetime.datetime(2026, 12, 1, 7),
        "air": "68 °F",
        "humidity": "50 %",
        "slab": "62 °F",
    }


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("at,air,humidity_percent\n", "room.csv, head: found air; expected at, air_f"),
        ("at,air_f\n" + ROW, "room.csv, head: found at, air_f; expected at, air_f or"),
        ("at,air_f,air_c,humidity_percent\n", "room.csv, head: found at, air_f, air_c"),
        ("", "room.csv, head: found nothing"),
        (HEAD + "soon,68,50,62\n", "room.csv, line 2, at: found soon"),
        (HEAD + ROW + "2026-12-01 09:00,,50,62\n", "room.csv, line 3, air_f: found"),
        (HEAD + "2026-12-01 07:00,68,50\n", "room.csv, line 2: found more or fewer"),
        (HEAD + "2026-12-01 07:00,68,500,62\n", "room.csv, line 2, humidity_percent"),
    ],
)
def test_a_csv_that_cannot_be_read_is_named_by_line(text, line):
    with pytest.raises(SheetError) as caught:
        forecast_from_csv(text, about="room.csv")

    assert caught.value.line.startswith(line)


def climate(*hours):
    start = datetime.datetime(2026, 12, 1)
    rows = [
        {"at": start + datetime.timedelta(hours=h), "air": "68 °F", "humidity": "50 %"}
        for h in hours
    ]
    return filled(Climate, {"forecast": rows})


def test_a_forecast_with_a_gap_is_named():
    assert len(without_gaps(climate(0, 6, 12).forecast)) == 3
    with pytest.raises(
        SheetError,
        match=r"climate, forecast: found nothing between 2026-12-01 06:00 "
        r"and 2026-12-01 13:00; expected a row at least every 6 h",
    ):
        without_gaps(climate(0, 6, 13).forecast)


def test_a_forecast_that_goes_back_is_named():
    with pytest.raises(SheetError, match="climate, forecast 3, at"):
        without_gaps(climate(0, 6, 5).forecast)


def test_a_sheet_takes_its_forecast_from_the_file_beside_it(tmp_path):
    sheet = tmp_path / "den.toml"
    sheet.write_text(PLAIN + '[climate]\nforecast_file = "room.csv"\n', "utf-8")
    with pytest.raises(SheetError, match=r"forecast_file: found room\.csv: No such"):
        read_sheet(sheet)
    (tmp_path / "room.csv").write_text(HEAD + ROW, "utf-8")

    assert read_sheet(sheet)["climate"]["forecast"][0]["air"] == "68 °F"


def test_a_forecast_file_elsewhere_is_refused(tmp_path):
    sheet = tmp_path / "den.toml"
    sheet.write_text(PLAIN + '[climate]\nforecast_file = "../room.csv"\n', "utf-8")

    with pytest.raises(SheetError, match="name of a CSV file beside the sheet"):
        read_sheet(sheet)


@pytest.mark.parametrize(
    ("given", "line"),
    [
        ({"people": 0}, "people: found 0; expected at least 1"),
        (
            {"timezone": "Mars/Olympus"},
            "timezone: found Mars/Olympus; expected a time",
        ),
        ({"timezone": "America"}, "timezone: found America; expected a time"),
        ({"timezone": "posix/UTC"}, "timezone: found posix/UTC; expected a time"),
        ({"timezone": "../UTC"}, "timezone: found ../UTC; expected a time"),
        ({"from": "17:00", "until": "08:00"}, "Crew: found a table; expected until"),
        ({"days_off": ["Someday"]}, "days_off 1: found Someday"),
    ],
)
def test_a_crew_that_cannot_work_is_named(given, line):
    with pytest.raises(SheetError) as caught:
        filled(Crew, given)

    assert caught.value.line.startswith(line)
