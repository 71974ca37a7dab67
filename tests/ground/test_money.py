"""Money: decimal, at the smallest coin of its currency, as its readers write it."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.money import bare, cents, cents_down, minor_unit, money, rounded, shown, times

NBSP = "\N{NO-BREAK SPACE}"
AMOUNTS = st.decimals(-(10**9), 10**9, places=5)
CODES = st.sampled_from(["USD", "EUR", "GBP", "JPY", "KWD"])


@pytest.mark.parametrize(
    ("exact", "kept"),
    # Decimal halves go away from zero; the doubles of the last three lie below them.
    [
        ("2.345", "2.35"), ("2.355", "2.36"), ("2.675", "2.68"), ("0.125", "0.13"),
        ("1.005", "1.01"), ("-1.005", "-1.01"), ("0.004", "0.00"),
    ],
)  # fmt: skip
def test_halves_are_rounded_as_on_an_invoice(exact, kept):
    assert str(cents(money(exact))) == kept
    assert rounded(money(exact), "USD") == Decimal(kept)


def test_a_legal_cap_is_never_passed_by_rounding():
    assert cents_down(Decimal("9999.999")) == Decimal("9999.99")


def test_money_is_never_made_from_a_float():
    with pytest.raises(TypeError, match="not from the float"):
        money(2.675)
    assert times(Decimal("10.00"), 0.1) == 1


@pytest.mark.parametrize(
    ("currency", "kept"),
    # ISO 4217, from memory: 2, 2, 2, 0 and 3 digits.
    [
        ("USD", "1234.57"), ("EUR", "1234.57"), ("GBP", "1234.57"),
        ("JPY", "1235"), ("KWD", "1234.568"),
    ],
)  # fmt: skip
def test_an_amount_is_kept_at_the_smallest_coin(currency, kept):
    assert str(rounded(Decimal("1234.5678"), currency)) == kept
    assert bare(Decimal("1234.5678"), currency) == f"{Decimal(kept):,}"


@pytest.mark.parametrize(
    ("currency", "locale", "said"),
    # Unicode CLDR, as readers of each place write it.
    [
        ("USD", "en_US", "$1,234.57"),
        ("USD", "es_US", "$1,234.57"),
        ("EUR", "de_DE", f"1.234,57{NBSP}€"),
        ("EUR", "en_IE", "€1,234.57"),
        ("GBP", "en_GB", "£1,234.57"),
        ("JPY", "ja_JP", "￥1,235"),
        ("JPY", "en_US", "¥1,235"),
        ("KWD", "en_US", f"KWD{NBSP}1,234.568"),
    ],
)
def test_an_amount_is_said_in_the_clients_own_way(currency, locale, said):
    spoken = shown(Decimal("1234.5678"), currency, locale)

    assert spoken.replace(NBSP, "") == said.replace(NBSP, "")


def test_no_reader_meets_a_negative_nothing():
    assert shown(Decimal("-0.001")) == "$0.00"
    assert bare(Decimal("-0.4"), "JPY") == "0"


@settings(max_examples=50)
@given(AMOUNTS, CODES)
def test_what_is_said_is_what_is_kept(amount, currency):
    said = bare(amount, currency).replace(",", "")

    assert Decimal(said) == rounded(amount, currency)
    assert abs(rounded(amount, currency) - amount) <= minor_unit(currency) / 2
