"""The table in a real Chromium: opened by its address, worked by mouse and by keyboard."""

import os
import re
import signal
from pathlib import Path

import pytest
from browsing import FIRST_PICTURE_MS, kernels_of, leaked, owners_bid
from hands import look

pytestmark = pytest.mark.browser

CONTROLS = ".pt :is(button, input, [role=slider])"
ROWS_OF_VIEWS = """() => new Set([...document.querySelectorAll('.stage .looks button')]
    .filter(e => e.offsetParent)
    .map(e => Math.round(e.getBoundingClientRect().bottom / 4))).size"""

VIEWS_CUT = """() => [...document.querySelectorAll('.stage .looks button')]
    .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth).map(e => e.textContent)"""
VIEWS_OVER_THE_FLOOR = """() => {
    const floor = document.querySelector('.stage .picture').getBoundingClientRect();
    return [...document.querySelectorAll('.stage .looks button')]
        .filter(e => e.offsetParent && e.getBoundingClientRect().top < floor.bottom)
        .map(e => e.textContent);
}"""


def test_the_page_fills_the_screen_without_scrolling_at_all_three_sizes(table):
    for width, height in ((1366, 768), (1024, 768), (820, 1180)):
        table.page.set_viewport_size({"width": width, "height": height})
        for station in ("Rooms", "Color", "Flow", "Sheen", "Price", "Paper"):
            table.go(station)
            fits = (
                "innerWidth >= document.documentElement.scrollWidth && "
                "innerHeight >= document.documentElement.scrollHeight"
            )
            assert table.page.evaluate(fits), (width, station)
            small = table.page.evaluate(
                f"""() => [...document.querySelectorAll("{CONTROLS}")]
                .filter(e => e.offsetParent && e.getBoundingClientRect().width)
                .filter(e => Math.min(e.getBoundingClientRect().width,
                                      e.getBoundingClientRect().height) < 43.5)
                .map(e => e.outerHTML.slice(0, 80))"""
            )
            assert small == [], (width, station)
            assert table.page.evaluate(VIEWS_CUT) == [], (width, station)
            if station == "Price":
                assert table.page.evaluate(ROWS_OF_VIEWS) == 1, width
                assert table.page.evaluate(VIEWS_OVER_THE_FLOOR) == [], width
    table.page.set_viewport_size({"width": 1366, "height": 768})
    table.settle()


def test_every_control_has_a_name(table):
    for station in ("Rooms", "Color", "Flow", "Sheen", "Price", "Paper"):
        table.go(station)
        nameless = table.page.evaluate(
            f"""() => [...document.querySelectorAll("{CONTROLS}")]
            .filter(e => e.offsetParent)
            .filter(e => !(e.getAttribute('aria-label') || e.textContent.trim()
                           || e.labels?.length))
            .map(e => e.outerHTML.slice(0, 120))"""
        )
        assert nameless == [], station


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_rule_of_accessible_pages_is_seriously_broken(table, scheme):
    """axe-core's rules for WCAG 2 A and AA, from its own package."""
    from axe_playwright_python.sync_playwright import Axe

    table.page.emulate_media(color_scheme=scheme)
    broken = []
    for station in ("Rooms", "Color", "Flow", "Sheen", "Price", "Paper"):
        table.go(station)
        table.settle()
        look(table, f"{station.lower()}_1366_{scheme}")
        found = Axe().run(table.page, context=".pt.frame").response["violations"]
        broken += [
            (station, rule["id"], rule["nodes"][0]["html"][:120])
            for rule in found
            if rule["impact"] in {"serious", "critical"}
        ]
    table.page.emulate_media(color_scheme="light")
    assert broken == []


def test_a_knob_moved_by_mouse_redraws_the_floor(table):
    table.go("Flow")
    table.settle()
    before, total = table.seq, table.total
    knob = table.page.get_by_role("slider", name="Ribbon")
    box = knob.bounding_box()
    middle = box["y"] + box["height"] / 2
    usual = box["x"] + 20 + (0.45 - 0.15) / 1.35 * (box["width"] - 40)
    table.page.mouse.move(usual, middle)
    table.page.mouse.down()
    table.page.mouse.move(usual + 80, middle, steps=8)
    table.page.mouse.up()

    table.wait_for_seq(before)
    table.settle()
    assert float(knob.input_value()) > 0.6
    assert table.total == total

    table.page.get_by_role("button", name="Undo").click()
    table.page.wait_for_function(
        "document.getElementById('knob-ribbon_m').valueAsNumber === 0.45"
    )
    table.settle()


def test_a_knob_moved_by_keyboard_redraws_the_floor(table):
    table.go("Flow")
    table.settle()
    before = table.seq
    table.page.get_by_role("slider", name="Calm").press("ArrowRight")

    table.wait_for_seq(before)


KNOBS_CUT = """() => {
    const panel = document.querySelector('.panel').getBoundingClientRect();
    return [...document.querySelectorAll('.vial')]
        .filter(e => e.offsetParent)
        .filter(e => e.getBoundingClientRect().bottom > panel.bottom - 4)
        .map(e => e.textContent);
}"""
HIDES_MORE = "document.querySelector('.panel').classList.contains('more')"


def test_every_knob_is_in_view_on_a_small_laptop(table):
    """1366 x 768 leaves a page some 650 pixels once the browser has drawn its own bars."""
    table.go("Flow")
    for height in (768, 650):
        table.page.set_viewport_size({"width": 1366, "height": height})
        for group in ("Fine detail", "Trowel strokes"):
            table.page.get_by_role("button", name=group).click()
            assert table.page.evaluate(KNOBS_CUT) == [], (height, group)
    table.page.set_viewport_size({"width": 1366, "height": 768})


def test_a_panel_that_hides_more_below_shows_it_until_its_end_is_reached(table):
    table.go("Flow")
    assert not table.page.evaluate(HIDES_MORE)
    table.page.set_viewport_size({"width": 1366, "height": 520})
    table.page.wait_for_function(HIDES_MORE)
    told = "getComputedStyle(document.querySelector('.panel'), '::after').content"
    assert "More below" in table.page.evaluate(told)
    panel = table.page.get_by_role("region", name="Flow")
    panel.focus()
    panel.press("End")
    table.page.wait_for_function(f"!{HIDES_MORE}")
    panel.press("Home")
    table.page.wait_for_function(HIDES_MORE)
    table.page.get_by_role("slider", name="Meld").focus()
    table.page.wait_for_function(f"({KNOBS_CUT})().length === 0")
    table.page.set_viewport_size({"width": 1366, "height": 768})
    table.settle()


def test_floor_only_is_left_by_escape_and_by_every_step_of_the_tape(table):
    page = table.page
    panel = page.locator(".panel")
    for width in (1366, 1024, 820):
        page.set_viewport_size({"width": width, "height": 768})
        for station in ("Price", "Color"):
            table.go(station)
            page.get_by_role("button", name="Floor only").click()
            assert not panel.is_visible()
            assert page.locator(".floor").bounding_box()["width"] == width

            page.locator(".picture").click(position={"x": 200, "y": 150})
            page.keyboard.press("Escape")
            assert panel.is_visible()
            for chosen in (station, "Flow", "Rooms"):
                table.go(station)
                page.get_by_role("button", name="Floor only").click()
                table.go(chosen)
                assert panel.is_visible(), chosen
                assert panel.get_attribute("aria-label") == chosen
    page.set_viewport_size({"width": 1366, "height": 768})
    table.settle()


def test_the_edge_that_is_not_drawn_has_a_name_that_is_true(table):
    table.go("Flow")
    table.page.wait_for_selector(".stage:not(.parted)")
    table.settle()
    edge = table.page.locator(".edge")

    assert edge.get_attribute("aria-label") == "Edge between two finishes"
    assert edge.get_attribute("aria-valuetext") is None


def test_the_words_under_every_color_can_be_read_whole(table):
    table.go("Color")
    cut = """() => [...document.querySelectorAll('.panel .names > *')]
        .filter(e => e.scrollWidth > e.clientWidth).map(e => e.textContent)"""
    assert table.page.evaluate(cut) == []
    table.page.get_by_role("button", name="Add a color").click()
    assert table.page.evaluate(cut) == []
    table.page.get_by_role("button", name="Back").click()


def test_the_price_follows_the_finish(table):
    table.go("Price")
    matte = table.total
    rows = table.page.get_by_role("radio")
    asked = {
        name.split(",")[0]: re.search(r"\$([\d,.]+) whole floor", name)[1].replace(",", "")
        for name in (rows.nth(i).get_attribute("aria-label") for i in range(rows.count()))
    }
    assert asked["Matte"] == matte

    table.page.get_by_role("radio", name="Gloss").click()
    table.page.wait_for_selector(f'[data-total="{asked["Gloss"]}"]')
    assert asked["Gloss"] != matte

    table.page.get_by_role("button", name="Undo").click()
    table.page.wait_for_selector(f'[data-total="{matte}"]')
    table.settle()


def test_the_edge_is_drawn_by_keyboard_and_by_mouse(table):
    table.go("Sheen")
    table.page.wait_for_selector(".stage.parted")
    edge = table.page.get_by_role("slider", name="Edge between Matte and Gloss")
    for key, expected in (
        ("Home", "0"), ("ArrowRight", "1"), ("Shift+ArrowRight", "11"), ("ArrowLeft", "10"),
        ("End", "100"), ("Shift+ArrowLeft", "90"),
    ):  # fmt: skip
        edge.press(key)
        assert edge.get_attribute("aria-valuenow") == expected, key

    stage = table.page.locator(".stage").bounding_box()
    grip = edge.bounding_box()
    y = grip["y"] + grip["height"] / 2
    table.page.mouse.move(grip["x"] + grip["width"] / 2, y)
    table.page.mouse.down()
    table.page.mouse.move(stage["x"] + stage["width"] * 0.3, y, steps=6)
    table.page.mouse.up()
    assert edge.get_attribute("aria-valuenow") == "30"
    assert edge.get_attribute("aria-valuetext") == "Matte 30 %, Gloss 70 %"


def test_a_picture_that_arrives_meanwhile_leaves_the_edge_under_the_finger(table):
    table.go("Sheen")
    table.settle()
    edge = table.page.get_by_role("slider", name="Edge between Matte and Gloss")
    edge.press("End")
    stage, grip = table.page.locator(".stage").bounding_box(), edge.bounding_box()
    y = grip["y"] + grip["height"] / 2
    table.page.mouse.move(grip["x"] + 15, y)
    table.page.mouse.down()
    table.page.mouse.move(stage["x"] + stage["width"] * 0.4, y, steps=4)
    before = table.seq
    for mood in ("Evening", "Day"):
        table.page.get_by_role("button", name=mood).evaluate("button => button.click()")
        table.wait_for_seq(before)
        table.settle()
    assert edge.get_attribute("aria-valuenow") == "40"
    table.page.mouse.up()
    table.page.wait_for_timeout(300)
    assert edge.get_attribute("aria-valuenow") == "40"


def shares_of(table):
    values = table.page.locator(".percent").evaluate_all("all => all.map(e => e.value)")
    return [float(value.removesuffix("%").strip()) for value in values]


def test_colors_are_shared_out_by_keyboard_and_always_make_a_hundred(table):
    table.go("Color")
    border = table.page.get_by_role(
        "slider", name="Border between Deep well and Fjord blue"
    )
    border.press("ArrowRight")
    table.page.wait_for_function(
        "document.querySelector('.percent').value.startsWith('51')"
    )
    table.page.get_by_role("button", name="More Kettle copper").click()
    table.page.wait_for_function(
        "[...document.querySelectorAll('.percent')].at(-1).value.startsWith('19')"
    )
    assert sum(shares_of(table)) == 100


def test_a_share_is_typed_and_one_that_cannot_be_is_refused_in_words(table):
    table.go("Color")
    middle = table.page.get_by_role("textbox", name="Share of Fjord blue, in percent")
    middle.fill("30.5")
    middle.press("Enter")
    table.page.wait_for_function(
        "document.querySelectorAll('.percent')[1].value === '30.5\\u202f%'"
    )
    shares = shares_of(table)
    assert shares[1] == 30.5
    assert sum(shares) == pytest.approx(100)

    middle.fill("99")
    middle.press("Enter")
    table.page.wait_for_selector("text=99 cannot be used. Give 2 to ")
    middle.press("Escape")
    assert shares_of(table) == shares

    middle.press("ArrowUp")
    table.page.wait_for_function(
        "document.querySelectorAll('.percent')[1].value.startsWith('31.5')"
    )
    assert middle.bounding_box()["height"] >= 44


def test_a_color_is_added_from_the_shelf_and_taken_out_again(table):
    table.go("Color")
    table.page.get_by_role("button", name="Add a color").click()
    table.page.get_by_role("radio", name="Gull white").click()
    table.page.wait_for_selector("text=Gull white")
    assert table.page.locator(".percent").count() == 4

    table.page.get_by_role("button", name=re.compile("^Gull white")).click()
    table.page.get_by_role("button", name="Take this color out").click()
    table.page.wait_for_function("document.querySelectorAll('.percent').length === 3")
    table.settle()


def test_the_proposal_comes_down_as_a_pdf(table):
    table.go("Paper")
    table.settle()
    with table.page.expect_download(timeout=FIRST_PICTURE_MS) as waiting:
        table.page.get_by_role("button", name="Save the PDF").click()
    paper = waiting.value

    assert paper.suggested_filename == "proposal-2611-07-slipway-pottery.pdf"
    assert Path(paper.path()).read_bytes().startswith(b"%PDF-")
    table.page.wait_for_selector("text=is in your downloads")
    table.go("Price")
    table.page.get_by_role("switch", name=re.compile("^Cove base, 4")).click()
    table.go("Paper")
    table.page.wait_for_selector("text=is in your downloads", state="hidden")
    table.page.get_by_role("button", name="Undo", exact=True).click()


def test_nothing_of_the_owners_side_is_in_the_page_or_on_its_wires(table):
    bid = owners_bid(table)
    seen = table.page.content() + "".join(table.frames)

    assert len(table.frames) > 20
    assert f"{bid.total:,.2f}" in seen
    assert leaked(bid, seen) == []


def test_the_owners_side_opens_to_its_passphrase_and_leaves_nothing_behind(table):
    page = table.page
    page.get_by_role("button", name="Owner's side").click()
    page.get_by_label("Passphrase").fill("short")
    page.get_by_label("Passphrase").press("Enter")
    page.wait_for_selector("text=That has 5 characters; give at least 8.")
    assert page.locator(".frame.owners").count() == 0
    page.get_by_label("Passphrase").fill("grey heron, low tide")
    page.get_by_label("The same once more").fill("grey heron, high tide")
    page.get_by_role("button", name="Open", exact=True).click()
    page.wait_for_selector("text=The two are not the same")
    assert page.locator(".frame.owners").count() == 0
    page.get_by_label("The same once more").fill("grey heron, low tide")
    page.get_by_label("The same once more").press("Enter")
    page.wait_for_selector(".frame.owners")
    bid = owners_bid(table)
    assert f"{bid.cost:,.2f}" in page.content()

    off = page.get_by_label("Discount")
    off.fill("10")
    off.press("Tab")
    page.wait_for_selector("text=off: the price is")
    page.get_by_role("button", name="Close owner's side").click()
    page.wait_for_selector(".frame:not(.owners)")
    heard = len(table.frames)
    table.go("Price")
    table.go("Color")
    assert leaked(bid, page.content() + "".join(table.frames[heard:])) == []

    page.get_by_role("button", name="Owner's side").click()
    page.get_by_label("Passphrase").fill("another heron")
    page.get_by_label("Passphrase").press("Enter")
    page.wait_for_selector("text=not the one that was chosen")
    page.get_by_role("button", name="Back to the floor").click()
    assert page.locator(".frame.owners").count() == 0


def test_the_room_is_seen_from_three_places_by_name(table):
    for name in ("From door", "Along wall", "To window"):
        before = table.seq
        table.page.get_by_role("button", name=name).press("Enter")
        table.wait_for_seq(before)
        pressed = table.page.get_by_role("button", name=name).get_attribute("aria-pressed")
        assert pressed == "true"
        assert table.page.get_by_role("button", name="In the room").get_attribute(
            "aria-pressed"
        ) == "true"  # fmt: skip


def test_choices_are_still_there_after_a_reload(table):
    table.go("Sheen")
    table.page.get_by_role("radio", name="Matte with grip").press("Enter")
    grip = table.page.locator(".option", has_text="Matte with grip").locator(".badge")
    grip.get_by_text("right").wait_for()
    table.go("Color")
    table.go("Color")
    first = shares_of(table)[1]
    table.page.get_by_role("button", name="More Fjord blue").click()
    table.page.wait_for_function(
        "first => parseFloat(document.querySelectorAll('.percent')[1].value) > first",
        arg=first,
    )
    table.settle()
    kept, shares = table.total, shares_of(table)
    for words in ("From above", "Evening"):
        before = table.seq
        table.page.get_by_role("button", name=words).click()
        table.wait_for_seq(before)
        table.settle()
    table.page.wait_for_timeout(700)
    table.page.reload()
    table.page.wait_for_selector('.stage[data-ready="1"]', timeout=FIRST_PICTURE_MS)

    assert table.total == kept
    assert shares_of(table) == shares
    for words in ("From above", "Evening"):
        button = table.page.get_by_role("button", name=words)
        assert button.get_attribute("aria-pressed") == "true", words
    assert table.page.get_by_role("button", name="Undo").is_enabled()
    table.go("Sheen")
    grip.get_by_text("right").wait_for()
    table.go("Color")


def test_no_error_was_logged_and_nothing_was_asked_of_the_network(table):
    assert table.errors == []
    assert table.outside == []


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="looks into /proc")
def test_when_the_kernel_dies_the_page_says_so_and_picks_up_where_it_was(table):
    table.go("Sheen")
    table.page.wait_for_selector(".stage.parted")
    table.page.wait_for_timeout(2500)
    kept = table.total
    kernels = kernels_of(table.server)
    assert len(kernels) == 1
    os.kill(kernels[0], signal.SIGKILL)

    banner = table.page.get_by_role("alert")
    banner.get_by_text("Pourtable stopped answering").wait_for()
    assert "is saved" in banner.inner_text()
    edge = table.page.get_by_role("slider", name="Edge between")
    edge.press("Home")
    assert edge.get_attribute("aria-valuenow") == "0"

    banner.get_by_role("button", name="Pick up where we were").click()
    table.page.wait_for_selector('.stage[data-ready="1"]', timeout=FIRST_PICTURE_MS)
    assert table.total == kept
