"""Printed figures: exact, signed, and adding up as printed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.proposal.figures import asked, bare, difference, tenths_that_sum


@pytest.mark.parametrize(
    ("amount", "printed"),
    [("0", "0.00"), ("1234567.8", "1,234,567.80"), ("16846.20", "16,846.20")],
)
def test_money_is_printed_in_dollars_and_cents(amount, printed):
    assert bare(Decimal(amount)) == printed
    assert asked(Decimal(amount), "USD", "en_US") == f"${printed}"


def test_a_difference_has_a_true_minus_that_never_breaks_from_its_figure():
    assert difference(Decimal("-294.30")) == "\u2212\u00a0294.30"
    assert difference(Decimal("735.75")) == "+\u00a0735.75"


@given(st.lists(st.floats(0.0, 5000.0), min_size=1, max_size=40))
def test_printed_areas_add_up_to_the_printed_total(parts):
    total = sum(parts)
    rows = tenths_that_sum(parts, total)
    assert round(sum(rows), 1) == round(round(total * 10) / 10, 1)
    assert all(abs(row - part) < 0.1 + 1e-6 for row, part in zip(rows, parts, strict=True))
