"""What a hurried hand does at the table, and what it must not lead to."""

import os
import re
import signal
from contextlib import contextmanager
from io import BytesIO

import pytest
from browsing import FIRST_PICTURE_MS, kernels_of
from hands import look
from PIL import Image

pytestmark = pytest.mark.browser

PRINTED = ".desk[data-pages]"


@contextmanager
def held(table):
    """Python does not answer meanwhile; what is asked of it waits."""
    kernels = kernels_of(table.server)
    assert kernels
    for kernel in kernels:
        os.kill(kernel, signal.SIGSTOP)
    try:
        yield
    finally:
        for kernel in kernels:
            os.kill(kernel, signal.SIGCONT)


def press(page, name):
    page.get_by_role("button", name=name, exact=True).click()


def await_total(page, total):
    page.wait_for_function(
        "total => document.querySelector('[data-total]').dataset.total === total", arg=total
    )


def test_what_is_put_in_the_price_is_what_was_picked_last(table):
    page = table.page
    table.go("Sheen")
    page.wait_for_selector(".stage.parted", timeout=FIRST_PICTURE_MS)
    page.get_by_role("radio", name="Satin").click()
    page.get_by_role("button", name=re.compile("^Put satin in the price")).wait_for()
    before = float(table.total)
    with held(table):
        page.get_by_role("radio", name="Gloss").click()
        put_in = page.get_by_role("button", name=re.compile("^Put gloss in the price"))
        more = float(re.search(r"\$([\d,.]+\d) more", put_in.inner_text())[1])
        put_in.click()
    await_total(page, f"{before + more:.2f}")
    assert page.get_by_text("Gloss is in the price").is_visible()
    assert table.page.locator(".tape").get_by_text("Gloss").is_visible()
    press(page, "Undo")
    await_total(page, f"{before:.2f}")


def test_pages_of_another_price_are_called_out_of_date_until_they_are_set_again(table):
    page = table.page
    table.go("Paper")
    page.wait_for_selector(PRINTED, timeout=FIRST_PICTURE_MS)
    first = page.locator(".sheet img").first.get_attribute("src")
    table.go("Price")
    page.get_by_role("switch", name=re.compile("^Moisture primer")).click()
    page.get_by_role("navigation").get_by_text("1 extra in").wait_for()
    with held(table):
        table.go("Paper")
        assert page.locator(PRINTED).count() == 1 or page.locator(".stale").count() == 1
    page.get_by_text("Out of date, setting them again").wait_for()
    page.wait_for_selector(f"{PRINTED}:not(.stale)", timeout=FIRST_PICTURE_MS)
    assert page.locator(".sheet img").first.get_attribute("src") != first
    assert page.locator(".desk .setting").inner_text() == ""


def test_signing_before_the_pages_are_here_is_asked_twice(table):
    page = table.page
    parts = page.get_by_role("group", name="Part of the paper")
    parts.get_by_role("button", name="Sign").click()
    page.get_by_role("button", name="Type it").click()
    table.go("Price")
    page.get_by_role("switch", name=re.compile("^Moisture primer")).click()
    table.go("Paper")
    accept = page.get_by_role("button", name="Accept and sign")
    with held(table):
        accept.click()
        assert "Press again" in page.locator(".waits").inner_text()
        assert "not yet" in parts.inner_text()
    page.wait_for_selector(f"{PRINTED}:not(.stale)", timeout=FIRST_PICTURE_MS)
    accept.click()
    page.get_by_text("Accepted with the name typed by").wait_for()
    press(page, "Undo")


def test_a_logo_is_printed_and_a_file_that_is_none_is_refused_beside_it(table, tmp_path):
    page = table.page
    page.get_by_role("group", name="Part of the paper").get_by_role(
        "button", name="Look"
    ).click()
    chosen = page.locator("#pt-own-logo")
    says = page.locator("#pt-own-logo-says")
    mark = BytesIO()
    Image.new("RGB", (240, 60), "#1f4e79").save(mark, "PNG")
    for name, content, words in (
        ("notes.png", b"no picture", "notes.png"),
        ("drawn.svg", b"<svg><script/></svg>", "<script>"),
        ("large.png", b"0" * 8_100_000, "at most 8 MB"),
    ):
        chosen.set_input_files({"name": name, "mimeType": "image/png", "buffer": content})
        says.filter(has_text=words).wait_for()
    look(table, "look_refused")
    page.wait_for_selector(f"{PRINTED}:not(.stale)", timeout=FIRST_PICTURE_MS)
    before = page.locator(".sheet img").first.get_attribute("src")
    chosen.set_input_files(
        {"name": "our mark.png", "mimeType": "image/png", "buffer": mark.getvalue()}
    )
    page.get_by_text("our-mark.png").wait_for()
    assert says.inner_text() == ""
    page.get_by_role("button", name="Español").click()
    page.get_by_role("button", name="Meters").click()
    page.locator(".tape").get_by_text(re.compile(r"^per m² of \d+\.\d$")).wait_for()
    page.wait_for_selector(f"{PRINTED}:not(.stale)", timeout=FIRST_PICTURE_MS)
    assert page.locator(".sheet img").first.get_attribute("src") != before
    look(table, "look_spanish")
    assert str(tmp_path.parent) not in page.content()
    page.get_by_role("button", name="Take the logo off").click()
    page.get_by_text("A PNG, JPEG or SVG file").wait_for()
    assert table.errors == []


def test_a_notice_swapped_under_a_signature_takes_it_off_and_a_refused_one_does_not(table):
    page = table.page
    table.go("Paper")
    parts = page.get_by_role("group", name="Part of the paper")
    station = page.get_by_role("navigation").get_by_role("button", name="Paper")
    chosen = page.locator("#pt-own-cancel_notice")
    says = page.locator("#pt-own-cancel_notice-says")

    def attach(name, words):
        parts.get_by_role("button", name="Look").click()
        file = {"name": name, "mimeType": "text/plain", "buffer": words.encode()}
        chosen.set_input_files(file)

    parts.get_by_role("button", name="Look").click()
    page.get_by_text("a text file with {date} and {last_day} in it").wait_for()
    attach("mine.txt", "Sold {date}.\nUntil {last_day}.")
    page.get_by_text("mine.txt").wait_for()
    parts.get_by_role("button", name="Sign").click()
    page.get_by_role("button", name="Type it").click()
    press(page, "Accept and sign")
    page.get_by_text("Press again to sign all the same").wait_for()
    press(page, "Accept and sign")
    page.get_by_text("Accepted with the name typed by").wait_for()

    attach("bad.txt", "Nothing to fill in.")
    says.filter(has_text="no {date} and no {last_day}").wait_for()
    look(table, "notice_refused")
    assert "signed" in station.inner_text()
    assert page.get_by_text("mine.txt").is_visible()
    attach("other.txt", "Another. {date}. {last_day}.")
    banner = page.get_by_role("alert").get_by_text("the notice of cancellation changed")
    banner.wait_for()
    look(table, "notice_swapped")
    assert says.inner_text() == ""
    assert "ready to save" in station.inner_text()
    press(page, "Undo")
    banner.wait_for(state="hidden")
    assert "signed" in station.inner_text()
