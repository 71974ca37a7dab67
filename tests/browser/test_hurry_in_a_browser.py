"""From a blank table by key and mouse: typed in one go, pressed twice, loaded again."""

import pytest
from browsing import served
from hands import await_area, look

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def blank(tmp_path_factory):
    with served(tmp_path_factory.mktemp("book"), "--new") as visit:
        yield visit(width=1366, height=768)


def press(page, name):
    page.get_by_role("button", name=name, exact=True).click()


def test_pressed_twice_is_done_once_and_walls_are_typed_in_one_go(blank):
    page, keys = blank.page, blank.page.keyboard
    assert page.evaluate("document.activeElement.labels[0].textContent").startswith("All")
    keys.type("20, nonsense, 20, 15")
    keys.press("Enter")
    page.locator(".in-one .says", has_text="“nonsense” cannot be used").wait_for()
    assert page.locator(".walls li").count() == 0
    keys.press("Control+A")
    keys.type("20 6 x 15")
    keys.press("Enter")
    keys.type("Bakery")
    keys.press("Enter")
    await_area(blank, "307.5 sq ft")
    page.get_by_role("button", name="Add a room").dblclick()
    page.get_by_role("button", name="Room 2").wait_for()
    page.wait_for_timeout(400)
    assert page.locator(".rooms .tabs button").all_inner_texts() == ["Bakery", "Room 2open"]

    press(page, "Bakery")
    page.get_by_text("Room 2 has no walls yet. It is not in the price.").wait_for()
    blank.go("Paper")
    press(page, "Fill it in")
    keys.type("Hazel Quay Bakery")
    assert page.locator("h1").inner_text().startswith("Hazel Quay Bakery")
    keys.press("Enter")
    page.wait_for_function(
        "document.activeElement.labels?.[0]?.textContent === 'Name of your firm'"
    )
    page.get_by_text("Before it can go out: the name of your firm.").wait_for()
    keys.type("Slipway Floors")
    keys.press("Enter")
    press(page, "Remove Room 2")
    page.get_by_text("To be signed at home it needs your notice").wait_for()
    look(blank, "nothing_missing")

    blank.go("Rooms")
    press(page, "Add a room")
    keys.type("10, 9, 10, 9")
    keys.press("Enter")
    keys.type("Store")
    keys.press("Enter")
    await_area(blank, "90.0 sq ft")
    page.get_by_role("button", name="Doorway between Bakery and Store").dblclick()
    page.wait_for_selector(".jamb", state="attached")
    page.wait_for_timeout(500)
    assert page.locator(".jamb").count() == 2
    page.get_by_role("button", name="Remove this room").dblclick()
    page.wait_for_timeout(600)
    assert page.locator(".names-on .room").count() == 1
    press(page, "Undo")
    page.wait_for_selector(".jamb", state="attached")


def test_what_was_done_can_be_undone_after_the_page_was_loaded_again(blank):
    page = blank.page
    press(page, "Bakery")
    page.get_by_label("Length of wall 1").wait_for()
    press(page, "In meters")
    await_area(blank, "28.6 m²")
    assert page.get_by_label("Length of wall 1").input_value() == "6.248 m"
    page.wait_for_timeout(1200)  # kept once the hand rests
    total = blank.total
    page.goto(page.url.partition("?")[0])  # the bare address, which names no job
    page.wait_for_selector(f'[data-total="{total}"]')
    blank.go("Rooms")
    await_area(blank, "28.6 m²")
    press(page, "Undo")
    await_area(blank, "307.5 sq ft")
    for _ in range(40):
        if page.get_by_role("button", name="Undo").is_disabled():
            break
        page.get_by_role("button", name="Undo").dispatch_event("click")
        page.wait_for_timeout(120)
    page.locator(".board .start").wait_for()
    assert blank.outside == []
    assert [e for e in blank.errors if "WebSocket is already in CLOSING" not in e] == []
