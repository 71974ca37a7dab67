"""Jobs in a real Chromium: the list behind its lock, two windows, a kernel that dies."""

import os
import signal
import time
from decimal import Decimal
from pathlib import Path

import pytest
from browsing import FIRST_PICTURE_MS, Table, kernels_of, opened
from hands import look

from kit.book import Book
from kit.job import Job

pytestmark = pytest.mark.browser

PASSPHRASE = "grey heron, low tide"
READY = '.stage[data-ready="1"]'
OTHERS = (
    ("Orla Benning", "Kitchen and hall", "2611-08", "gloss", "7539.61"),
    ("Cask Street Bakehouse", "Shop floor", "2611-09", "satin", "19592.37"),
)
PLANTED = [other[0] for other in OTHERS] + ["7,539.61", "19,592.37"]


@pytest.fixture(scope="module")
def table(tmp_path_factory, demo_sheet):
    place = tmp_path_factory.mktemp("book")
    job = Job.from_sheet(demo_sheet)
    with Book(place / "book.sqlite") as book:
        for client, title, number, finish, total in OTHERS:
            site = job.site.changed(client=job.site.client.changed(name=client))
            other = job.changed(site=site, title=title, number=number, finish=finish)
            book.keep(other, total=Decimal(total))
    with opened(place, given=[str(demo_sheet)]) as table:
        yield table


def leaked(seen):
    return [figure for figure in PLANTED if figure in seen]


def open_list(page):
    page.get_by_role("button", name="Jobs", exact=True).click()
    page.get_by_label("Passphrase").fill(PASSPHRASE)
    again = page.get_by_label("The same once more")
    if again.is_visible():
        again.fill(PASSPHRASE)
    page.get_by_label("Passphrase").press("Enter")
    page.wait_for_selector(".frame.listing")


def whose(page, client):
    page.wait_for_function(
        "client => document.querySelector('.whose b').textContent === client", arg=client
    )


def kept(table, client):
    with Book(table.book) as book:
        return [(e.job_id, e.title, e.finish) for e in book.jobs(client)]


def test_the_list_is_hidden_until_its_passphrase_and_opens_another_job(table):
    page = table.page
    assert leaked(page.content() + "".join(table.frames)) == []
    open_list(page)
    assert leaked(page.content()) == PLANTED
    page.get_by_role("searchbox", name="Find a job").fill("kitchen GLOSS")
    page.wait_for_function("document.querySelectorAll('.jobs tbody tr').length === 1")
    page.get_by_role("button", name="Open Orla Benning").click()

    whose(page, "Orla Benning")
    page.wait_for_selector(".frame:not(.listing)")
    assert leaked(page.locator(".jobs").inner_html()) == []
    page.wait_for_selector(".stage .side:not([hidden])", timeout=FIRST_PICTURE_MS)
    page.wait_for_function(
        "document.querySelector('.stage .tag b').textContent === 'Gloss'"
    )
    assert page.get_by_role("button", name="Undo").is_disabled()
    heard = len(table.frames)
    table.go("Price")
    table.go("Color")
    assert "Cask Street" not in page.content() + "".join(table.frames[heard:])


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_list_keeps_to_the_rules_of_accessible_pages_at_every_size(table, scheme):
    from axe_playwright_python.sync_playwright import Axe

    page = table.page
    page.emulate_media(color_scheme=scheme)
    open_list(page)
    broken, small = [], []
    for width, height in ((1366, 768), (1024, 768), (820, 1180)):
        page.set_viewport_size({"width": width, "height": height})
        look(table, f"jobs_{width}_{scheme}")
        found = Axe().run(page, context=".pt.frame").response["violations"]
        broken += [
            (width, rule["id"], rule["nodes"][0]["html"][:120])
            for rule in found
            if rule["impact"] in {"serious", "critical"}
        ]
        small += small_ones(page, ".jobs")
        assert page.evaluate("innerWidth >= document.documentElement.scrollWidth")
    page.set_viewport_size({"width": 1366, "height": 768})
    page.emulate_media(color_scheme="light")
    page.get_by_role("button", name="Jobs", exact=True).click()
    page.wait_for_selector(".frame:not(.listing)")
    assert broken == []
    assert small == []


def test_a_copy_is_a_job_of_its_own_and_a_reload_finds_it(table):
    page = table.page
    open_list(page)
    address = page.url
    page.get_by_role("button", name="Copy Cask Street Bakehouse").click()
    whose(page, "Cask Street Bakehouse")
    page.wait_for_function("address => location.href !== address", arg=address)
    assert page.locator(".whose .soft").inner_text() == "Copy of Shop floor"
    page.reload()
    page.wait_for_selector(READY, timeout=FIRST_PICTURE_MS)

    assert page.locator(".whose .soft").inner_text() == "Copy of Shop floor"
    says = page.get_by_role("alert").first.inner_text()
    assert "The page was loaded again. This is the job of Cask Street Bakehouse as" in says
    assert len(kept(table, "cask street")) == 2


def test_a_second_window_is_told_and_keeps_its_changes_as_a_copy(table):
    page = table.page
    other = page.context.browser.new_page()
    other.set_default_timeout(60_000)
    other.goto(page.url)
    other.wait_for_selector(READY, timeout=FIRST_PICTURE_MS)
    whose(other, "Cask Street Bakehouse")
    table.go("Price")
    page.get_by_role("radio", name="Gloss").click()
    banner = other.get_by_role("alert").first
    banner.get_by_text("This job was changed in another window").wait_for()
    steps = other.get_by_role("navigation")
    steps.get_by_role("button", name="Price").click()
    other.get_by_role("radio", name="Matte with grip").click()
    banner.get_by_text("on this screen only; nothing was overwritten").wait_for()
    before = kept(table, "cask street")
    assert before[0][2] == "gloss"

    other.get_by_role("button", name="Keep mine as a copy").click()
    banner.get_by_text("kept as a job of their own").wait_for()
    after = kept(table, "cask street")
    assert after[0][2] == "matte_grip"
    assert after[1:] == before
    other.close()


def small_ones(page, inside):
    """Controls inside that a finger would miss."""
    return page.evaluate(
        """inside => [...document.querySelectorAll(inside + ' :is(button, input, select)')]
        .filter(e => e.type !== 'file')
        .filter(e => e.checkVisibility() && e.getBoundingClientRect().width)
        .filter(e => Math.min(e.getBoundingClientRect().width,
                              e.getBoundingClientRect().height) < 43.5)
        .map(e => e.outerHTML.slice(0, 80))""",
        inside,
    )


def test_what_two_windows_both_changed_is_decided_field_by_field(table):
    from axe_playwright_python.sync_playwright import Axe

    page = table.page
    other = Table(page.context.browser.new_page(), table.book, table.server)
    there = other.page
    there.goto(page.url)
    there.wait_for_selector(READY, timeout=FIRST_PICTURE_MS)
    before = kept(table, "cask street")
    for window, finish in ((page, "Satin"), (there, "Matte with grip")):
        steps = window.get_by_role("navigation")
        steps.get_by_role("button", name="Price").click()
        window.get_by_role("radio", name=finish).click()
        if window is page:
            page.wait_for_function(
                "document.querySelector('.kept').textContent.startsWith('Saved')"
            )
            page.wait_for_timeout(1200)
    banner = there.get_by_role("alert").first
    banner.get_by_text("nothing was overwritten").wait_for()
    there.get_by_role("button", name="Put both together").click()
    asked = there.get_by_role("dialog", name="Both windows changed this")
    choice = asked.get_by_role("radiogroup", name="Finish")
    assert asked.get_by_role("button", name="1 to decide").is_disabled()

    broken, small = [], []
    for scheme in ("light", "dark"):
        there.emulate_media(color_scheme=scheme)
        for width, height in ((1366, 768), (1024, 768), (820, 1180)):
            there.set_viewport_size({"width": width, "height": height})
            look(other, f"both_{width}_{scheme}")
        found = Axe().run(there, context=".pt.frame").response["violations"]
        broken += [f["id"] for f in found if f["impact"] in {"serious", "critical"}]
        small += small_ones(there, ".both")
    assert (broken, small) == ([], [])

    choice.get_by_role("radio", name="The other").focus()
    there.keyboard.press("ArrowLeft")
    assert choice.get_by_role("radio", name="Here").get_attribute("aria-checked") == "true"
    asked.get_by_role("button", name="Put both together").click()
    banner.get_by_text("Both are here now").wait_for()
    after = kept(table, "cask street")
    assert (len(after), after[0][2]) == (len(before), "matte_grip")
    page.get_by_role("alert").first.get_by_text("changed in another window").wait_for()
    page.get_by_role("button", name="Show what is in the book").click()
    page.wait_for_function("!document.querySelector('.banner .offers').childElementCount")
    assert not there.locator("dialog.both").is_visible()
    assert other.errors == []
    there.close()


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="looks into /proc")
def test_a_kernel_killed_while_a_knob_is_dragged_loses_nothing_that_was_saved(table):
    page = table.page
    table.go("Price")
    page.get_by_role("radio", name="Satin").click()
    page.wait_for_function(
        "document.querySelector('.kept').textContent.startsWith('Saved')"
    )
    page.wait_for_timeout(1500)
    table.go("Flow")
    knob = page.get_by_role("slider", name="Ribbon")
    box = knob.bounding_box()
    middle = box["y"] + box["height"] / 2
    page.mouse.move(box["x"] + 20 + 0.3 / 1.35 * (box["width"] - 40), middle)
    page.mouse.down()
    for step in range(8):
        page.mouse.move(box["x"] + 120 + 8 * step, middle)
        if step == 4:
            for kernel in kernels_of(table.server):
                os.kill(kernel, signal.SIGKILL)
            died = time.monotonic()
    page.mouse.up()
    banner = page.get_by_role("alert").first
    banner.get_by_text("Pourtable stopped answering").wait_for()
    print(f"told after {time.monotonic() - died:.1f} s")  # noqa: T201
    assert "is saved" in banner.inner_text()

    banner.get_by_role("button", name="Pick up where we were").click()
    banner.get_by_text("had stopped answering and was started again").wait_for(
        timeout=FIRST_PICTURE_MS
    )
    page.wait_for_selector(READY, timeout=FIRST_PICTURE_MS)
    assert page.locator(".whose .soft").inner_text() == "Copy of Shop floor"
    assert page.locator(".stage .tag b").first.inner_text() == "Satin"


def test_no_error_was_logged_and_nothing_was_asked_of_the_network(table):
    assert [e for e in table.errors if "WebSocket" not in e] == []
    assert table.outside == []
