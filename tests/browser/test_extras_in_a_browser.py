"""Extras switched in a real Chromium: by mouse, by keyboard, and what the page shows."""

import re
from decimal import Decimal

import pytest
from browsing import leaked, owners_bid

pytestmark = pytest.mark.browser


def amount(words):
    return Decimal(re.sub(r"[^\d.]", "", words))


def row(table, name):
    return table.page.get_by_role("switch", name=re.compile(f"^{name}"))


def figures(table, name):
    """Of a row: what it is, per square foot, whole floor, difference."""
    cells = row(table, name).locator(":scope > span")
    return [cells.nth(i).inner_text() for i in range(cells.count())]


def wait_for_total(table, total):
    table.page.wait_for_selector(f'[data-total="{total}"]')


@pytest.fixture(scope="module", autouse=True)
def at_the_price(table):
    """The first pictures are hung, and the price is looked at."""
    table.go("Price")
    table.rest()


def test_the_price_follows_a_switch_and_the_picture_stays(table):
    table.rest()
    seq, before = table.seq, Decimal(table.total)
    cove = row(table, "Cove base, 4 in")
    assert cove.get_attribute("aria-checked") == "false"
    more = amount(figures(table, "Cove base, 4 in")[2])
    flood = figures(table, "Second flood coat")

    cove.click()

    wait_for_total(table, before + more)
    assert cove.get_attribute("aria-checked") == "true"
    assert figures(table, "Cove base, 4 in")[3] == "in the price"
    # what the switch changed of another extra is said there, and why
    assert figures(table, "Second flood coat")[2] != flood[2]
    assert f"was {flood[2]}: extras share" in figures(table, "Second flood coat")[0]
    assert "was" not in figures(table, "Crack repair allowance")[0]
    assert table.page.get_by_role("radio", name="Matte,").locator(
        ":scope > span"
    ).nth(2).inner_text() == f"${before + more:,.2f}"  # fmt: skip
    station = table.page.get_by_role("navigation").get_by_role("button", name="Price")
    assert "1 extra in" in station.inner_text()
    tag = table.page.locator(".tag.finish").first
    per_sqft = table.page.locator("[data-per-sqft]").inner_text()
    assert f"{per_sqft} per sq ft" in tag.inner_text()

    table.page.get_by_role("button", name="Undo").click()
    wait_for_total(table, before)
    assert cove.get_attribute("aria-checked") == "false"
    table.page.wait_for_timeout(800)
    assert table.seq == seq


def test_an_extra_is_switched_by_keyboard_and_one_it_rules_out_is_barred(table):
    table.rest()
    seq, before = table.seq, Decimal(table.total)
    row(table, "Cove base, 6 in").focus()
    table.page.keyboard.press("Space")
    table.page.wait_for_function(
        "before => document.querySelector('[data-total]').dataset.total !== before",
        arg=str(before),
    )
    barred = row(table, "Cove base, 4 in")
    assert barred.get_attribute("aria-disabled") == "true"
    assert "Not together with Cove base, 6 in." in barred.inner_text()
    total = table.total
    barred.click(force=True)
    table.page.keyboard.press("Enter")
    table.page.wait_for_timeout(400)
    assert table.total == total

    row(table, "Cove base, 6 in").press("Enter")
    wait_for_total(table, before)
    assert table.seq == seq


def test_an_allowance_names_its_unit_price_and_a_caution_the_primers(table):
    before = Decimal(table.total)
    what, _, adds, _ = figures(table, "Crack repair allowance")
    assert "40 ft at $11.50 a foot" in what
    assert amount(adds) == 460
    primer = figures(table, "Moisture primer")[2]
    advice = table.page.locator(".caution", has_text="If the slab reads damp")
    assert primer.removeprefix("+ ") in advice.inner_text()

    row(table, "Moisture primer").click()
    wait_for_total(table, before + amount(primer))
    assert not advice.is_visible()
    table.page.get_by_role("button", name="Undo").click()
    wait_for_total(table, before)
    assert advice.is_visible()


def test_rows_fit_their_panel_at_every_size_and_nothing_of_the_owners_is_told(table):
    for width, height in ((1366, 768), (1024, 768), (820, 1180)):
        table.page.set_viewport_size({"width": width, "height": height})
        cut = table.page.evaluate(
            """() => [...document.querySelectorAll('.entry, .entry > span')]
            .filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.textContent)"""
        )
        assert cut == [], width
    table.page.set_viewport_size({"width": 1366, "height": 768})
    bid = owners_bid(table)
    costs = [one.cost for one in bid.extras if one.cost]
    seen = table.page.content() + "".join(table.frames)
    assert [c for c in costs if f"{c:,.2f}" in seen or f"{c:.2f}" in seen] == []
    assert leaked(bid, seen) == []
    assert table.errors == []
    assert table.outside == []
