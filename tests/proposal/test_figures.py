"""Printed figures: exact, signed, each true by itself."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.proposal.figures import asked, bare, difference, tenths, tenths_add_up


@pytest.mark.parametrize(
    ("amount", "printed"),
    [("0", "0.00"), ("1234567.8", "1,234,567.80"), ("16846.20", "16,846.20")],
)
def test_money_is_printed_in_dollars_and_cents(amount, printed):
    assert bare(Decimal(amount), "en_US") == printed
    assert asked(Decimal(amount), "USD", "en_US") == f"${printed}"


def test_a_difference_has_a_true_minus_that_never_breaks_from_its_figure():
    assert difference(Decimal("-294.30"), "en_US") == "\u2212\u00a0294.30"
    assert difference(Decimal("735.75"), "en_US") == "+\u00a0735.75"


@given(st.lists(st.floats(0.0, 5000.0), min_size=1, max_size=40))
def test_sizes_are_printed_true_and_told_apart_from_a_sum_that_is_not_theirs(parts):
    total = sum(parts)
    printed = [Decimal(tenths(part, "en_US").replace(",", "")) for part in parts]
    assert all(
        abs(float(row) - part) < 0.05 + 1e-6
        for row, part in zip(printed, parts, strict=True)
    )
    whole = Decimal(tenths(total, "en_US").replace(",", ""))
    assert tenths_add_up(parts, total) == (sum(printed) == whole)
