"""Designs kept, renamed and laid side by side with fingers on a tablet."""

import pytest
from browsing import WITH_GRAPHICS, opened

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    place = tmp_path_factory.mktemp("book")
    with opened(place, graphics=WITH_GRAPHICS, size=(1024, 768), has_touch=True) as table:
        yield table


def tap(table, role, name):
    table.page.get_by_role(role, name=name).tap()


def test_two_pours_are_kept_by_touch_and_laid_either_side_of_the_edge(table):
    tap(table, "button", "Keep this pour")
    table.page.get_by_role("button", name="Design 1, Matte").wait_for()
    tap(table, "button", "Pour 3 of 4")
    table.settle()
    tap(table, "button", "Keep this pour")
    table.page.get_by_role("button", name="Design 2, Matte").wait_for()
    table.go("Sheen")
    tap(table, "button", "Left side")
    tap(table, "radio", "Design 1")
    tap(table, "button", "Right side")
    tap(table, "radio", "Design 2")
    # either side's tag follows its picture
    for side, words in (("left", "Design 1, matte"), ("right", "Design 2, matte")):
        table.page.locator(f".stage .tag.finish.{side} b", has_text=words).wait_for()


def test_another_finish_in_the_price_is_told_of_every_kept_design(table):
    page = table.page
    table.go("Price")
    tap(table, "radio", "Satin,")
    page.get_by_role("radio", name="Satin,", checked=True).wait_for()
    table.go("Sheen")
    page.wait_for_function(
        "() => document.querySelector('.stage .tag.right b').textContent.includes('2, sat')"
    )
    tags = page.locator(".stage .tag.finish b").all_inner_texts()
    assert tags == ["Design 1, satin", "Design 2, satin"]
    (each,) = set(page.locator(".stage .tag.finish span").all_inner_texts())
    assert each.startswith("$")
    for name in ("Design 1", "Design 2"):
        told = page.get_by_role("radio", name=name).inner_text().splitlines()
        assert "A kept design, in satin." in told
        assert each.split()[0] in told
    table.go("Color")
    for name in ("Design 1", "Design 2"):
        page.get_by_role("button", name=f"{name}, Satin, {each}").wait_for()
    tap(table, "button", "Undo")
    page.get_by_role("button", name="Design 1, Matte").wait_for()


def test_a_design_is_renamed_taken_up_and_let_go(table):
    table.go("Color")
    tap(table, "button", "Design 1, Matte")
    table.page.get_by_label("Name").fill("   ")
    tap(table, "button", "Rename")
    assert "needs a name" in table.page.locator(".design .says").inner_text()
    table.page.get_by_label("Name").fill("<b>Harbor & sons</b>")
    tap(table, "button", "Rename")
    table.page.locator(".design .says", has_text="without markup").wait_for()
    table.page.get_by_label("Name").fill("Harbor & sons")
    tap(table, "button", "Rename")
    renamed = table.page.get_by_role("button", name="Harbor & sons, Matte")
    renamed.wait_for()
    renamed.tap()
    tap(table, "button", "Use this design")
    table.page.locator(".kept button[aria-pressed=true]").wait_for()
    renamed.tap()
    tap(table, "button", "Remove this design")
    renamed.wait_for(state="detached")
    tap(table, "button", "Undo")
    renamed.wait_for()
    assert table.errors == []
    assert table.outside == []
