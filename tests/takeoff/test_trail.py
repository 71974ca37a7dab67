"""Trees of figures: every figure can be followed back to what was measured."""

import json
from decimal import Decimal

import pytest

from kit.takeoff import Figure, spoken, summed, told, trail_lines

HALL = Figure("Hall, net", 9.290304, "m²", "as walked")
STORE = Figure("Store, net", 4.645152, "m²", "as walked")
NET = summed("Net area", "m²", [HALL, STORE])
COAT = Figure("Seal coat", 3.785411784, "l", "150 sq ft × 8 mil", (NET,))


def test_a_tree_is_told_with_what_it_is_made_of_below_it():
    assert list(trail_lines([COAT])) == [
        "Seal coat: 1.00 gal = 150 sq ft × 8 mil",
        "  Net area: 150.0 sq ft = 100.0 sq ft + 50.0 sq ft",
        "    Hall, net: 100.0 sq ft = as walked",
        "    Store, net: 50.0 sq ft = as walked",
    ]


def test_what_was_told_before_is_not_told_again():
    lines = list(trail_lines([COAT, Figure("Flood coat", 2.0, "l", "more", (NET,))]))

    assert lines[-1] == "  Net area: 150.0 sq ft = 100.0 sq ft + 50.0 sq ft (see above)"
    assert sum("Hall" in line for line in lines) == 1


def test_a_sum_is_the_sum_of_its_parts():
    assert NET.value == pytest.approx(HALL.value + STORE.value)


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (Decimal("1234.5"), "USD", "$1,234.50"),
        (7, "treads", "7 treads"),
        (2.5, "", "2.5"),
        (1.0, "h", "1.00 h"),
        (0.45359237, "kg", "1.00 lb"),
        (0.3048, "m", "1.0 ft"),
    ],
)
def test_values_are_said_in_the_units_of_the_trade(value, unit, words):
    assert spoken(value, unit) == words


def test_a_tree_can_be_read_by_a_program_with_money_as_it_stands():
    price = Figure("Asked", Decimal("10.10"), "USD", "cost + margin", (COAT,))

    back = json.loads(json.dumps(told(price)))

    assert back["value"] == "10.10"
    assert back["parts"][0]["parts"][0]["name"] == "Net area"
