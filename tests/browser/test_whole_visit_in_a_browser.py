"""A whole visit from a blank table to the saved proposal: by mouse, key and finger."""

from io import BytesIO
from pathlib import Path

import pytest
from browsing import FIRST_PICTURE_MS, WITH_GRAPHICS, served
from hands import await_area, finger_drag, mouse_drag, square_by, tab_to

pytestmark = pytest.mark.browser


@pytest.fixture
def visit(tmp_path_factory):
    with served(tmp_path_factory.mktemp("book"), "--new", graphics=WITH_GRAPHICS) as visit:
        yield visit


class Hand:
    """Does to a table what a person does; by mouse where nothing else is said."""

    def __init__(self, table):
        self.table, self.page = table, table.page

    def named(self, role, name):
        return self.page.get_by_role(role, name=name, exact=True)

    def press(self, role, name):
        self.named(role, name).click()

    def write(self, label, words):
        self.page.get_by_label(label, exact=True).click()
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(words)
        self.page.keyboard.press("Enter")

    def measure(self):
        square_by(self.table, mouse_drag)


class Finger(Hand):
    def press(self, role, name):
        self.named(role, name).tap()

    def write(self, label, words):
        self.page.get_by_label(label, exact=True).tap()
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(words)
        self.page.keyboard.press("Enter")

    def measure(self):
        square_by(self.table, finger_drag)


class Keys(Hand):
    """Nothing but the keyboard: every control is reached by Tab."""

    def press(self, role, name):
        self.named(role, name).wait_for()
        tab_to(self.table, rf"(^|\|){name}(\||$)")
        self.page.keyboard.press("Enter")

    def write(self, label, words):
        tab_to(self.table, rf"(^|\|){label}")
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(words)
        self.page.keyboard.press("Enter")

    def measure(self):
        self.write("Across", "20 6")
        self.write("Deep", "15")
        await_area(self.table, "307.5 sq ft")


def made(hand):
    """Make a proposal for a room of one's own, and give the bytes that are saved."""
    page = hand.page
    hand.measure()
    hand.press("button", "Way out")
    hand.press("button", "Mark it here")
    page.get_by_text("Way out of Room 1").wait_for()

    station(hand, "Color")
    page.wait_for_selector('.stage[data-ready="1"]', timeout=FIRST_PICTURE_MS)
    hand.press("button", "Keep this pour")
    page.locator(".kept button").first.wait_for()
    station(hand, "Sheen")
    page.wait_for_selector(".stage.parted", timeout=FIRST_PICTURE_MS)
    page.get_by_role("radio", name="Satin").press("Enter")
    page.get_by_role("button", name="Put satin in the price").press("Enter")
    page.get_by_text("Satin is in the price").wait_for()

    station(hand, "Paper")
    part = page.get_by_role("group", name="Part of the paper")
    part.get_by_role("button", name="Client").press("Enter")
    hand.write("Who the floor is for", "Hazel Quay Bakery")
    hand.write("Number", "2611-31")
    part.get_by_role("button", name="Firm").press("Enter")
    hand.write("Name of your firm", "Slipway Floors")
    part.get_by_role("button", name="Sign").press("Enter")
    return saved(page, lambda: hand.press("button", "Save the PDF"))


def station(hand, name):
    hand.page.get_by_role("navigation").get_by_role("button", name=name).press("Enter")


def saved(page, press):
    page.wait_for_selector(".desk[data-pages]", timeout=FIRST_PICTURE_MS)
    with page.expect_download(timeout=FIRST_PICTURE_MS) as waiting:
        press()
    return Path(waiting.value.path()).read_bytes()


@pytest.mark.parametrize(
    ("kind", "size"),
    [
        (Hand, (1366, 768)),
        (Keys, (1366, 768)),
        (Finger, (1024, 768)),
        (Finger, (820, 1180)),
    ],
    ids=["mouse", "keyboard", "finger_1024", "finger_820"],
)
def test_a_proposal_is_made_from_a_blank_table(visit, kind, size):
    pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
    table = visit(width=size[0], height=size[1], has_touch=kind is Finger)
    pdf = made(kind(table))
    assert pdf.startswith(b"%PDF-")
    words = " ".join(p.extract_text() for p in pypdf.PdfReader(BytesIO(pdf)).pages)
    assert "Hazel Quay Bakery" in words
    assert "2611-31" in words
    assert f"{float(table.total):,.2f}" in words
    assert table.outside == []
    assert table.errors == []
