"""Rooms measured at a blank table in a real Chromium: by mouse, by keyboard, by finger."""

import os
import re
import signal

import pytest
from browsing import kernels_of, served
from hands import await_area, finger_drag, look, middle_of, mouse_drag, square_by, tab_to

pytestmark = pytest.mark.browser

CONTROLS = ".pt :is(button, input:not([type=file]), textarea, select, [role=slider])"
SIZES = ((1366, 768), (1024, 768), (820, 1180))


@pytest.fixture(scope="module")
def visit(tmp_path_factory):
    with served(tmp_path_factory.mktemp("book"), "--new") as visit:
        yield visit


@pytest.fixture(scope="module")
def desk(visit):
    return visit(width=1366, height=768)


@pytest.fixture
def table(desk):
    """The desk's table with every room removed, so that it is blank."""
    emptied(desk)
    return desk


COVERED = """() => {
    const boxes = (what) => [...document.querySelectorAll(what)]
        .map(e => e.getBoundingClientRect());
    const meet = (a, b) => a.left < b.right && a.right > b.left
        && a.top < b.bottom && a.bottom > b.top;
    const covers = [...boxes('.board .gap'), ...boxes('.names-on p')];
    return boxes('.wall-tag:not(.short) span').filter(a => covers.some(b => meet(a, b)));
}"""
"""Lengths that lie over a doorway or a name."""


COVERED_BY_EACH_OTHER = """() => {
    const boxes = [...document.querySelectorAll('.wall-tag:not(.short) span')]
        .map(e => e.getBoundingClientRect());
    const meet = (a, b) => a.left < b.right && a.right > b.left
        && a.top < b.bottom && a.bottom > b.top;
    return boxes.filter((a, i) => boxes.some((b, k) => k !== i && meet(a, b)));
}"""
NOTICE = b"You may cancel until {last_day}. Signed on {date}."


def emptied(table):
    table.go("Rooms")
    table.page.get_by_role("button", name="Walls", exact=True).click()
    remove = table.page.get_by_role("button", name="Remove this room")
    for _ in range(80):
        # pressed in the page at once: by the next look it may be gone
        seen = "all => all.filter(one => one.offsetParent).map(one => one.click()).length"
        if (
            not remove.evaluate_all(seen)
            and table.page.locator(".board .start").is_visible()
        ):
            return
        table.page.wait_for_timeout(150)
    pytest.fail("the table did not become blank")


def read(table, name):
    return table.page.locator(".names-on .room", has_text=name).inner_text()


def test_a_blank_table_says_where_to_start_and_has_no_price(table):
    assert table.page.locator(".tape .reading").first.inner_text() == "no price yet"
    assert table.page.locator(".board .start").is_visible()
    assert "Start with the walls." in table.page.locator(".board").inner_text()
    look(table, "blank")
    for station in ("Color", "Flow", "Sheen", "Price", "Paper"):
        table.go(station)
        assert table.page.locator(".panel h2").first.inner_text() == station
    assert table.page.get_by_role("button", name="Save the PDF").is_disabled()
    assert table.errors == []


def test_a_room_is_drawn_by_mouse_and_the_price_appears_when_it_closes(table):
    square_by(table, mouse_drag)
    assert table.page.locator(".walls li").count() == 4
    table.page.wait_for_function("document.querySelector('[data-total]').dataset.total")
    one_room = float(table.total)

    x, y = middle_of(table, re.compile("^Wall 3,"))
    mouse = table.page.mouse
    mouse.move(x, y)
    mouse.down()
    mouse.move(x, y + 40, steps=4)
    assert "The price follows when you let go." in table.page.locator(".scale").inner_text()
    mouse.up()
    table.page.wait_for_function(
        "before => Number(document.querySelector('[data-total]').dataset.total) > before",
        arg=one_room,
    )
    look(table, "drawn")
    table.page.get_by_role("button", name="Undo").click()
    table.page.wait_for_selector(f'[data-total="{one_room:.2f}"]')
    assert not table.page.get_by_label("Name of your firm").is_visible()
    assert "the client and your firm" in table.page.locator(".rooms").inner_text()


def test_a_second_room_a_doorway_a_column_and_the_way_out_by_mouse(table):
    page = table.page
    page.get_by_label("Across").fill("18")
    page.get_by_label("Across").press("Enter")
    page.keyboard.type("14 6")
    page.keyboard.press("Enter")
    await_area(table, "261.0 sq ft")
    page.get_by_role("button", name="Add a room").click()
    page.locator(".tabs").get_by_role("button", name="Room 2").wait_for()
    focused = "document.activeElement.labels[0].textContent"
    assert page.evaluate(focused) == "All walls of the room, in one line"
    page.get_by_label("Across").fill("6.25 m")
    page.get_by_label("Deep").fill("8")
    page.get_by_role("button", name="Draw the rectangle").click()
    page.get_by_text("Room 2 has no doorway to the other rooms yet").wait_for()
    assert table.total == ""

    side = page.get_by_label("Side", exact=True)
    assert side.input_value() == "east"
    page.get_by_role("button", name="Room 1", exact=True).click()
    assert side.input_value() == "west"
    page.get_by_role("button", name="Doorway", exact=True).click()
    names = [page.locator(".names-on .room").nth(i).bounding_box() for i in (0, 1)]
    walls = page.locator(".outlines path.mine").bounding_box()
    page.mouse.click(walls["x"] + walls["width"], names[1]["y"] + 20)
    page.get_by_label("Width").wait_for()
    page.wait_for_function("document.querySelector('[data-total]').dataset.total")
    page.get_by_label("Width").fill("32 in")
    page.get_by_label("Width").press("Enter")
    page.wait_for_function(
        "[...document.querySelectorAll('.card input')].some(i => i.value === '2′ 8″')"
    )

    page.get_by_role("button", name="Way out", exact=True).click()
    page.mouse.click(walls["x"] + walls["width"] / 3, walls["y"] + walls["height"])
    page.get_by_text("Way out of Room 1").wait_for()
    page.get_by_role("button", name="Column", exact=True).click()
    page.mouse.click(walls["x"] + walls["width"] / 4, walls["y"] + walls["height"] / 4)
    page.get_by_text("Round column 1").wait_for()
    look(table, "two_rooms")
    assert page.locator(".sizes-on").inner_text().strip() == "1′ 0″"

    page.get_by_role("button", name="Walls", exact=True).click()
    for room in ("Room 1", "Room 2"):
        page.locator(".tabs").get_by_role("button", name=room).click()
        assert page.evaluate(COVERED) == [], room

    kept = table.total
    page.wait_for_timeout(900)
    page.reload()
    page.wait_for_selector(f'[data-total="{kept}"]')
    table.go("Rooms")
    assert page.locator(".jamb").count() == 4


def test_a_doorway_put_in_by_its_button_shows_its_figures_where_the_button_stood(table):
    page = table.page
    for walls, sum_ in (("20 x 15", "300.0 sq ft"), ("12 x 10", "120.0 sq ft")):
        page.get_by_role("button", name="Add a room").click()
        page.get_by_label("All walls of the room").fill(walls)
        page.keyboard.press("Enter")
        await_area(table, sum_)
    hint = page.locator(".scale .tag")
    hint.filter(has_text="a doorway is missing; way out not marked yet").wait_for()
    button = page.get_by_role("button", name="Doorway between Room 1 and Room 2")
    stood = button.bounding_box()
    button.click()
    figures = page.locator(".card", has_text="Doorway between Room 1 and Room 2")
    width, along = (figures.get_by_label(name) for name in ("Width", "Middle, from"))
    width.wait_for()
    assert (width.input_value(), along.input_value()) == ("3′ 0″", "5′ 0″")
    assert abs(figures.bounding_box()["y"] - stood["y"]) < 120
    assert page.get_by_label("Length of wall 1").is_visible()
    hint.filter(has_text="1 square = 1 ft; way out not marked yet").wait_for()
    look(table, "doorway_figures")
    width.fill('32"')
    width.press("Enter")
    table.page.wait_for_function("one => one.value === '2′ 8″'", arg=width.element_handle())
    name = page.get_by_label("Name of the room")
    name.fill("Bar")
    name.press("Enter")
    page.locator(".card", has_text="Doorway between Room 1 and Bar").wait_for()
    page.get_by_role("button", name="Column", exact=True).click()
    page.get_by_role("button", name="Put one in").click()
    page.get_by_text("10 alone is 10 feet").wait_for()
    look(table, "column_units")
    across = page.get_by_label("Across")
    across.fill('10"')
    across.press("Enter")
    page.wait_for_function("one => one.value === '0′ 10″'", arg=across.element_handle())
    page.get_by_role("button", name="Walls", exact=True).click()
    assert page.locator(".card").count() == 0
    assert table.errors == []


def test_lengths_in_the_corners_of_a_room_cover_each_other_nowhere(table):
    page = table.page
    page.get_by_label("All walls of the room").fill("14, 9, 5 left, 4, 9, 13")
    page.keyboard.press("Enter")
    await_area(table, "162.0 sq ft")
    assert page.locator(".wall-tag").count() == 6
    assert page.evaluate(COVERED_BY_EACH_OTHER) == []
    assert page.evaluate(COVERED) == []
    assert not page.locator(".leaving").is_visible()
    page.get_by_role("button", name="Way out", exact=True).click()
    page.get_by_role("button", name="Mark it here").click()
    page.locator(".leaving", has_text="Way out").wait_for()
    page.get_by_role("button", name="Walls", exact=True).click()
    page.wait_for_timeout(100)
    assert page.evaluate(COVERED) == []
    look(table, "corners")


def focused(page):
    """Name of what has the focus."""
    return page.evaluate(
        """() => document.activeElement.labels?.[0]?.textContent
        ?? document.activeElement.ariaLabel ?? document.activeElement.textContent"""
    )


def test_what_the_paper_needs_is_asked_without_a_scroll_and_a_notice_is_named(table):
    page = table.page
    page.get_by_label("Across").fill("20")
    page.get_by_label("Deep").fill("15")
    page.get_by_label("Deep").press("Enter")
    await_area(table, "300.0 sq ft")
    page.get_by_role("button", name="Who and where").click()
    attach = page.get_by_role("button", name="Attach the notice")
    foot = (
        page.locator(".tape").bounding_box()["y"] - 30
    )  # where it says that more is below
    for needed in (page.get_by_label("Address of the floor"), attach):
        box = needed.bounding_box()
        assert box["y"] + box["height"] < foot
    needs = page.locator(".who [aria-required=true]")
    named = needs.evaluate_all("all => all.map(e => e.labels[0].textContent)")
    assert named == ["Who the floor is for", "Name of your firm", "Name of this floor"]
    assert page.locator(".who").get_by_text("clients cannot reach you").is_visible()

    address = page.get_by_label("Address of the floor")
    address.fill("9 Hazel Quay")
    address.press("Enter")
    assert focused(page) == "Who the floor is for"  # which is lacking still
    for name in ("Who the floor is for", "Name of your firm"):
        page.get_by_label(name, exact=True).fill("Slipway")
        page.get_by_label(name, exact=True).press("Enter")
    assert focused(page) == "Address of the floor"
    top = address.bounding_box()["y"]
    address.press("Enter")
    assert focused(page) == "Attach the notice"
    assert address.bounding_box()["y"] == top

    with page.expect_file_chooser() as chooser:
        attach.click()
    chooser.value.set_files(
        {"name": "notice.txt", "mimeType": "text/plain", "buffer": NOTICE}
    )
    page.get_by_text("notice.txt is attached.").wait_for()
    assert not attach.is_visible()
    page.wait_for_timeout(200)
    address.press("Enter")
    assert focused(page) != "Name of this floor"
    look(table, "attached")
    page.get_by_role("button", name="Take the notice of cancellation off").click()
    attach.wait_for()


PLACES = """() => Object.fromEntries(
    [...document.querySelectorAll('.frame :is(.board, .panel) :is(button, input, select)')]
    .filter(e => e.offsetParent && !e.closest('.labels'))
    .map(e => { const box = e.getBoundingClientRect();
        return [e.getAttribute('aria-label') ?? e.labels?.[0]?.textContent ?? e.textContent,
            [box.x, box.y, box.width, box.height].map(Math.round)] }))"""
"""Where every control of the board and its panel stands, by its name."""


def test_nothing_moves_under_a_finger_when_walls_close_and_notices_come(table):
    page = table.page

    def moved_by(name, until):
        button = page.get_by_role("button", name=name)
        button.scroll_into_view_if_needed()
        before = page.evaluate(PLACES)
        button.click()
        until.wait_for()
        after = page.evaluate(PLACES)
        both = before.keys() & after.keys()
        assert {"Way out", "Who and where"} < both
        return {one: after[one] for one in both if after[one] != before[one]}

    def three_walls():
        page.get_by_label("All walls of the room").fill("14, 9, 14")
        page.get_by_role("button", name="Draw it").click()
        page.locator(".closing.going").wait_for()

    closed = page.locator(".closing:not(.going)")
    for width, height in SIZES[1:]:
        emptied(table)
        page.set_viewport_size({"width": width, "height": height})
        three_walls()
        assert moved_by("Close it", closed) == {}
        page.get_by_role("button", name="Add a room").click()
        three_walls()
        assert moved_by("Close it", page.get_by_text("No doorway")) == {}
        look(table, f"closed_{width}")
        page.get_by_role("button", name="Way out", exact=True).click()
        marked = page.get_by_text("Mark it here instead")
        assert moved_by("Mark it here", marked) == {}
    page.set_viewport_size(dict(zip(("width", "height"), SIZES[0], strict=True)))
    assert table.errors == []


def test_a_room_is_typed_and_finished_by_keyboard_alone(table):
    keys = table.page.keyboard
    tab_to(table, "What do you call this room")
    keys.type("Wash house")
    tab_to(table, "Length of the next wall")
    for typed in ("20 6", "12.5", "w 20 6", "12 0"):
        keys.type(typed)
        keys.press("Enter")
    table.page.get_by_text("The outline is open by 6 in.").wait_for()
    assert "no price yet" in table.page.locator(".tape").inner_text()
    look(table, "open")
    tab_to(table, "^Make it 12′ 6″")
    keys.press("Enter")
    await_area(table, "256.2 sq ft")

    tab_to(table, "^Corner 2 of Wash house", back=True)
    keys.press("ArrowRight")
    keys.press("ArrowRight")
    await_area(table, "262.5 sq ft")
    tab_to(table, "^Way out$", back=True)
    keys.press("Enter")
    tab_to(table, "^Mark it here")
    keys.press("Enter")
    table.page.get_by_text("Way out of Wash house").wait_for()


def test_walls_typed_before_python_answers_belong_to_the_room_just_named(table):
    keys = table.page.keyboard
    kernels = kernels_of(table.server)
    assert kernels
    for kernel in kernels:
        os.kill(kernel, signal.SIGSTOP)
    try:
        tab_to(table, "What do you call this room")
        keys.type("Sail loft")
        tab_to(table, "Length of the next wall")
        for typed in ("16", "9", "16"):
            keys.type(typed)
            keys.press("Enter")
        keys.type("9 ")
    finally:
        for kernel in kernels:
            os.kill(kernel, signal.SIGCONT)
    table.page.wait_for_selector(".walls li:nth-child(3)")
    keys.press("Enter")
    await_area(table, "144.0 sq ft")
    assert "Sail loft" in read(table, "144.0 sq ft")


def test_enter_stays_at_a_wall_that_is_refused(table):
    page = table.page
    page.get_by_label("Across").fill("20")
    page.get_by_label("Deep").fill("15")
    page.get_by_label("Deep").press("Enter")
    await_area(table, "300.0 sq ft")
    second = page.get_by_label("Length of wall 2")
    second.fill("nonsense")
    second.press("Enter")
    page.locator(".walls .says", has_text="nonsense").wait_for()
    for _ in range(2):
        page.wait_for_timeout(100)
        assert second.evaluate("one => one === document.activeElement")
        page.keyboard.press("Enter")
    second.fill("15")
    second.press("Enter")
    third = page.get_by_label("Length of wall 3").element_handle()
    page.wait_for_function("one => one === document.activeElement", arg=third)

    page.get_by_role("button", name="Way out", exact=True).click()
    walls = page.get_by_label("In the middle of")
    assert walls.locator("option").first.inner_text() == "north wall, 20′ 0″"
    walls.focus()
    walls.select_option(label="south wall, 20′ 0″")
    page.locator(".chosen path").wait_for(state="attached")
    look(table, "chosen_wall")


def test_a_draft_is_there_again_after_a_reload(table):
    length = table.page.get_by_label("Length of the next wall")
    for typed in ("11", "7"):
        length.fill(typed)
        length.press("Enter")
        table.page.wait_for_timeout(300)
    table.page.wait_for_timeout(900)
    table.page.reload()
    table.page.wait_for_selector(".walls li:nth-child(2)")

    values = table.page.locator(".walls .length")
    assert [values.nth(i).input_value() for i in (0, 1)] == ["11′ 0″", "7′ 0″"]
    assert "no price yet" in table.page.locator(".tape").inner_text()


def test_nonsense_in_every_field_is_named_there_and_changes_nothing(table):
    page = table.page
    page.get_by_label("Across").fill("20")
    page.get_by_label("Deep").fill("15")
    page.get_by_role("button", name="Draw the rectangle").click()
    await_area(table, "300.0 sq ft")
    page.get_by_role("button", name="Way out", exact=True).click()
    page.get_by_role("button", name="Mark it here").click()
    page.get_by_text("Way out of Room 1").wait_for()
    page.get_by_role("button", name="Column", exact=True).click()
    page.get_by_role("button", name="Put one in").click()
    page.get_by_text("Round column 1").wait_for()
    page.wait_for_function("document.querySelector('[data-total]').dataset.total")
    kept = table.total
    for tool in ("Walls", "Way out", "Column", "Who and where"):
        page.get_by_role("button", name=tool, exact=True).click()
        fields = page.locator(".rooms .field :is(input, textarea)")
        labels = fields.evaluate_all("all => all.map(e => e.labels[0].textContent)")
        for number, label in enumerate(labels):
            if re.search("next wall|Person|Address|Email|Phone|name|License|Notes", label):
                continue  # free words, or not set by leaving it
            one = fields.nth(number)
            if not one.is_visible():
                continue
            good = one.input_value()
            for nonsense in ("<img src=x onerror=alert(1)>", "-4", "1e9"):
                if (
                    re.search("Client|room|firm|floor|poured", label)
                    and "<" not in nonsense
                ):
                    continue  # names may be anything that is no markup
                one.fill(nonsense)
                one.press("Enter")
                says = one.locator("xpath=following-sibling::*[@role='alert']")
                says.filter(has_text=nonsense).wait_for()
                assert one.get_attribute("aria-invalid") == "true", (label, nonsense)
            look(table, f"nonsense_{tool}".replace(" ", "_"))
            one.press("Escape")
            assert one.input_value() == good
            assert table.total == kept
    assert table.errors == []


def test_a_measure_sheet_is_opened_from_a_file_and_another_file_is_refused(
    table, demo_sheet
):
    page = table.page
    chosen = page.locator("#pt-sheet")
    for name, content, words in (
        ("photo.toml", b"\xff\xfe\x00", "not saved as UTF-8"),
        ("large.toml", b"#" * 1_200_000, "at most 1 MB"),
        ("notes.toml", b"a = 1", "not known here"),
    ):
        chosen.set_input_files({"name": name, "mimeType": "text/plain", "buffer": content})
        page.locator(".short-way .says", has_text=words).wait_for()
    chosen.set_input_files(demo_sheet)
    page.locator(".whose", has_text="Slipway Pottery").wait_for()
    assert page.locator(".names-on .room").count() == 5
    assert table.total
    look(table, "sheet")


@pytest.mark.parametrize("size", SIZES[1:], ids=["1024", "820"])
def test_a_room_is_drawn_by_finger(visit, size):
    table = visit(width=size[0], height=size[1], has_touch=True)
    emptied(table)
    # a drag that the page keeps for itself is no fling, which would cost the next tap
    table.page.evaluate(
        "addEventListener('touchmove', e => { window.isKept = e.defaultPrevented })"
    )
    square_by(table, finger_drag)
    assert table.page.evaluate("window.isKept")
    assert table.page.locator(".walls li").count() == 4
    table.page.wait_for_function("document.querySelector('[data-total]').dataset.total")
    look(table, f"finger_{size[0]}")
    table.page.get_by_role("button", name="Way out", exact=True).tap()
    table.page.wait_for_selector('.board[data-tool="way_out"]')
    outline = table.page.locator(".outlines path.mine").bounding_box()
    table.page.touchscreen.tap(outline["x"] + outline["width"] / 2, outline["y"] + 2)
    table.page.get_by_text("Way out of Room 1").wait_for()
    assert table.errors == []
    table.page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_measuring_keeps_to_the_rules_of_accessible_pages_at_every_size(table, scheme):
    from axe_playwright_python.sync_playwright import Axe

    page = table.page
    page.emulate_media(color_scheme=scheme)
    length = page.get_by_label("Length of the next wall")
    for typed in ("20", "24", "20", "23 2 1/2"):
        length.fill(typed)
        length.press("Enter")
        page.wait_for_timeout(300)
    page.get_by_text("The outline is open by").wait_for()
    broken, small = [], []
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        for tool in ("Walls", "Doorway", "Way out", "Column", "Who and where"):
            page.get_by_role("button", name=tool, exact=True).click()
            page.wait_for_timeout(150)
            look(table, f"{scheme}_{width}_{tool}".replace(" ", "_"))
            found = Axe().run(page, context=".pt.frame").response["violations"]
            broken += [
                (width, tool, rule["id"], rule["nodes"][0]["html"][:120])
                for rule in found
                if rule["impact"] in {"serious", "critical"}
            ]
            small += page.evaluate(
                f"""() => [...document.querySelectorAll("{CONTROLS}")]
                .filter(e => e.offsetParent && e.getBoundingClientRect().width)
                .filter(e => e.type !== 'checkbox')
                .filter(e => Math.min(e.getBoundingClientRect().width,
                                      e.getBoundingClientRect().height) < 43.5)
                .map(e => e.outerHTML.slice(0, 80))"""
            )
            assert page.evaluate("innerWidth >= document.documentElement.scrollWidth")
    page.emulate_media(color_scheme="light")
    page.set_viewport_size({"width": 1366, "height": 768})
    assert broken == []
    assert small == []


def test_nothing_was_asked_of_the_network(desk):
    assert desk.outside == []
    # A line that closes as the page is loaded anew is no fault of the page's.
    assert [e for e in desk.errors if "WebSocket is already in CLOSING" not in e] == []
