"""The paper's step in a real Chromium: filled by keyboard, looked at, signed, saved."""

import math
from io import BytesIO
from pathlib import Path

import pytest
from browsing import FIRST_PICTURE_MS, leaked, owners_bid

pytestmark = pytest.mark.browser

PRINTED = ".desk[data-pages]"
HAS_PAGES = "document.querySelector('.waits').textContent === ''"


@pytest.fixture
def paper(table):
    table.page.set_viewport_size({"width": 1366, "height": 768})
    table.go("Paper")
    return table.page


def part(page, name):
    page.get_by_role("group", name="Part of the paper").get_by_role(
        "button", name=name
    ).click()


def loud(page):
    """The buttons that are loud, of those that are seen."""
    words = "all => all.filter(e => e.offsetParent).map(e => e.ariaLabel ?? e.textContent)"
    return page.locator(".paper .main").evaluate_all(words)


def said_of(page, label):
    """What is said beside a field."""
    field = page.get_by_label(label, exact=True)
    return page.locator(f"#{field.get_attribute('aria-describedby')}")


def test_the_pages_are_shown_and_can_be_read_large(paper):
    paper.wait_for_selector(PRINTED, timeout=FIRST_PICTURE_MS)
    count = int(paper.locator(".desk").get_attribute("data-pages"))
    assert count >= 4
    sheets = paper.locator(".sheet")
    assert sheets.count() == count
    assert paper.evaluate("document.querySelector('.sheet img').naturalWidth") == 1224

    paper.get_by_role("button", name=f"Page 2 of {count}, read it large").press("Enter")
    reader = paper.get_by_role("dialog", name="Page of the proposal")
    reader.get_by_text(f"Page 2 of {count}", exact=True).wait_for()
    paper.keyboard.press("ArrowRight")
    reader.get_by_text(f"Page 3 of {count}", exact=True).wait_for()
    reader.get_by_role("button", name="Page before").click()
    reader.get_by_text(f"Page 2 of {count}", exact=True).wait_for()
    paper.keyboard.press("Escape")
    reader.wait_for(state="hidden")
    assert paper.evaluate("document.activeElement.className") == "sheet"
    sheets.first.click()
    reader.get_by_role("button", name="Close").click()
    reader.wait_for(state="hidden")


def test_fields_are_filled_by_keyboard_alone_and_refuse_nonsense(paper, tmp_path):
    part(paper, "Client")
    paper.get_by_label("Who the floor is for").focus()
    typed = (
        "Oyster House & Co", "Ada Brine", "7 Tide Row, Port Ansel", "ada@oyster.example",
        "(555) 010-0188", "Bar and kitchen", "2611-09",
    )  # fmt: skip
    for words in typed:
        paper.keyboard.press("Control+A")
        paper.keyboard.type(words)
        paper.keyboard.press("Tab")
    paper.wait_for_function("document.title.startsWith('Oyster House & Co')")
    paper.locator(".head").get_by_text("Bar and kitchen").wait_for()

    tops = """() => [...document.querySelectorAll('.paper .field input')]
        .map(e => e.getBoundingClientRect().top)"""
    before = paper.evaluate(tops)
    for label, kept in (("Who the floor is for", "Oyster"), ("Name of this floor", "Bar")):
        emptied = paper.get_by_label(label)
        emptied.fill("")
        emptied.press("Tab")
        said_of(paper, label).filter(has_text="This cannot be empty.").wait_for()
        assert kept in emptied.get_attribute("placeholder")
        assert paper.evaluate(tops) == before
        emptied.press("Escape")
        assert kept in emptied.input_value()

    days = paper.get_by_label("Days open")
    top = days.bounding_box()["y"] + paper.locator(".panel").evaluate("it => it.scrollTop")
    for nonsense in ("soon", "-3", "1e9", "", "<b>9</b>"):
        days.fill(nonsense)
        days.press("Enter")
        said = said_of(paper, "Days open")
        said.filter(has_text=nonsense or "This cannot be empty.").wait_for()
        assert "Give a whole number of days from 1 to 365." in said.inner_text()
        assert "Kept: 28." in said.inner_text()
        assert days.get_attribute("aria-invalid") == "true"
    scrolled = paper.locator(".panel").evaluate("it => it.scrollTop")
    assert days.bounding_box()["y"] + scrolled == pytest.approx(top, abs=2)
    assert said.bounding_box()["y"] + said.bounding_box()["height"] <= (
        paper.locator(".panel").bounding_box()["y"]
        + paper.locator(".panel").bounding_box()["height"]
    )
    paper.screenshot(path=tmp_path / "refused.png")
    paper.get_by_text("until Wednesday, December 23, 2026").wait_for()
    days.press("Escape")
    assert days.input_value() == "28"
    assert days.get_attribute("aria-invalid") is None

    days.fill("30")
    days.press("Tab")
    paper.get_by_text("until Friday, December 25, 2026").wait_for()
    paper.get_by_role("button", name="Undo").click()
    paper.wait_for_function("document.getElementById('pt-job-valid_days').value === '28'")


def test_without_a_number_nothing_goes_out_and_the_reason_leads_there(paper):
    part(paper, "Client")
    number = paper.get_by_label("Number", exact=True)
    number.fill("")
    number.press("Tab")
    save = paper.get_by_role("button", name="Save the PDF")
    paper.get_by_text("Before it can go out: a number for this proposal.").wait_for()
    assert save.is_disabled()
    assert loud(paper) == ["Fill it in"]
    assert paper.locator(".lacks").get_by_text("No pages yet").is_visible()
    part(paper, "Sign")
    assert paper.get_by_role("button", name="Accept and sign").is_disabled()
    paper.get_by_role("button", name="Fill it in").click()
    paper.keyboard.type("2611-09")
    paper.keyboard.press("Enter")
    paper.wait_for_selector(".lacks", state="hidden")
    assert save.is_enabled()


def wave(box):
    """A scrawl across a box, in pixels of the page."""
    for n in range(31):
        u = n / 30
        yield (
            box["x"] + box["width"] * (0.1 + 0.8 * u),
            box["y"] + box["height"] * (0.5 + 0.3 * math.sin(12 * u) * (1 - u / 2)),
        )


def draw_by_mouse(page, box):
    first, *rest = wave(box)
    page.mouse.move(*first)
    page.mouse.down()
    for x, y in rest:
        page.mouse.move(x, y)
    page.mouse.up()


def draw_by_finger(page, box):
    line = page.context.new_cdp_session(page)
    places = list(wave(box))
    for kind, (x, y) in zip(
        ["touchStart", *["touchMove"] * (len(places) - 1)], places, strict=True
    ):
        line.send(
            "Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y}]}
        )
    line.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    line.detach()


@pytest.mark.parametrize("draw", [draw_by_mouse, draw_by_finger], ids=["mouse", "finger"])
def test_the_floor_is_accepted_with_a_signature_that_a_change_takes_off(paper, table, draw):
    part(paper, "Sign")
    name = paper.get_by_label("Name of who signs")
    assert loud(paper) == ["Accept and sign"]
    assert name.input_value() == "Ada Brine"
    accept = paper.get_by_role("button", name="Accept and sign")
    assert accept.is_disabled()
    pad = paper.locator(".sign-box")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    draw(paper, box)
    draw(paper, {**box, "y": box["y"] + 20})
    paper.get_by_role("img", name="2 strokes drawn").wait_for()
    paper.get_by_role("button", name="Undo stroke").click()
    paper.get_by_role("img", name="1 stroke drawn").wait_for()
    paper.get_by_role("button", name="Clear").click()
    assert accept.is_disabled()
    draw(paper, box)
    paper.wait_for_function(HAS_PAGES, timeout=FIRST_PICTURE_MS)
    accept.click()
    paper.get_by_text("Signed by Ada Brine on").wait_for()
    assert loud(paper) == ["Save the PDF"]
    assert paper.get_by_role("navigation").get_by_text("signed").is_visible()

    total = table.total
    table.go("Price")
    paper.get_by_role("radio", name="Gloss").click()
    banner = paper.get_by_role("alert").get_by_text("Ada Brine's signature came off")
    banner.wait_for()
    paper.get_by_role("button", name="Undo").click()
    banner.wait_for(state="hidden")
    paper.wait_for_selector(f'[data-total="{total}"]')
    table.go("Paper")
    paper.get_by_text("Signed by Ada Brine on").wait_for()
    if draw is draw_by_mouse:
        paper.get_by_role("button", name="Take the signature off").click()
        accept.wait_for()


def test_the_saved_pdf_is_that_of_the_pages_and_bears_name_and_signature(paper):
    pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
    paper.wait_for_selector(PRINTED, timeout=FIRST_PICTURE_MS)
    with paper.expect_download(timeout=FIRST_PICTURE_MS) as waiting:
        paper.get_by_role("button", name="Save the PDF").click()
    saved = waiting.value
    assert saved.suggested_filename == "proposal-2611-09-oyster-house-co-signed.pdf"
    pdf = Path(saved.path()).read_bytes()
    pages = [p.extract_text() for p in pypdf.PdfReader(BytesIO(pdf)).pages]
    assert "Oyster House & Co" in pages[0]
    assert "Accepted by Ada Brine" in pages[-1].replace("\n", " ")
    assert len(pages) == int(paper.locator(".desk").get_attribute("data-pages"))


def test_a_name_is_typed_where_no_hand_can_draw(paper):
    part(paper, "Sign")
    paper.get_by_role("button", name="Take the signature off").click()
    way = paper.get_by_role("group", name="How to sign").get_by_role(
        "button", name="Type it"
    )
    way.press("Enter")
    paper.wait_for_selector(PRINTED, timeout=FIRST_PICTURE_MS)
    assert paper.get_by_text("stands as a typed name").is_visible()
    paper.get_by_role("button", name="Accept and sign").press("Enter")
    paper.get_by_text("Accepted with the name typed by Ada Brine").wait_for()
    paper.get_by_role("button", name="Undo").click()


def test_the_paper_is_cut_and_its_finishes_left_out(paper):
    part(paper, "Contents")
    assert paper.get_by_role("checkbox", name="Matte in the price").is_disabled()
    paper.get_by_role("checkbox", name="Satin").press("Space")
    part(paper, "Look")
    paper.get_by_role("button", name="A4").click()
    paper.wait_for_selector(".desk:not([data-pages])")
    paper.wait_for_selector(PRINTED, timeout=FIRST_PICTURE_MS)
    size = paper.locator(".sheet img").first.evaluate(
        "img => [img.naturalWidth, img.naturalHeight]"
    )
    assert size[1] / size[0] == pytest.approx(841.89 / 595.28, abs=0.002)
    part(paper, "Contents")
    assert not paper.get_by_role("checkbox", name="Satin").is_checked()


def test_every_part_fits_and_is_named_at_all_three_sizes_light_and_dark(paper, tmp_path):
    from axe_playwright_python.sync_playwright import Axe

    for scheme in ("light", "dark"):
        paper.emulate_media(color_scheme=scheme)
        for width, height in ((1366, 768), (1024, 768), (820, 1180)):
            paper.set_viewport_size({"width": width, "height": height})
            for name in ("Client", "Firm", "Contents", "Look", "Sign"):
                part(paper, name)
                small = paper.evaluate(
                    """() => [...document.querySelectorAll('.pt :is(button, input)')]
                    .filter(e => e.type !== 'file' && e.checkVisibility())
                    .filter(e => e.getBoundingClientRect().width)
                    .filter(e => Math.min(e.getBoundingClientRect().width,
                                          e.getBoundingClientRect().height) < 43.5)
                    .map(e => e.outerHTML.slice(0, 80))"""
                )
                assert small == [], (width, name)
                fits = "panel => panel.scrollWidth <= panel.clientWidth"
                assert paper.locator(".panel").evaluate(fits), (width, name)
                paper.screenshot(path=tmp_path / f"paper_{name}_{width}_{scheme}.png")
        found = Axe().run(paper, context=".pt.frame").response["violations"]
        broken = [
            (rule["id"], rule["nodes"][0]["html"][:120])
            for rule in found
            if rule["impact"] in {"serious", "critical"}
        ]
        assert broken == [], scheme
    paper.emulate_media(color_scheme="light")


def test_nothing_was_logged_asked_of_the_network_or_leaked(table):
    assert table.errors == []
    assert table.outside == []
    seen = table.page.content() + "".join(table.frames)
    assert leaked(owners_bid(table), seen) == []
