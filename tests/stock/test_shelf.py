"""The shelf: everything on it holds together, and a bad table is named."""

import shutil
from importlib.resources import as_file, files
from typing import get_args

import pytest

from kit.errors import ShelfError
from kit.stock import read_shelf
from kit.stock.house import CoatKind, Driver, Stage
from kit.stock.shelf import KINDS

SHELF = read_shelf()
ROWS = {
    "pigments": SHELF.pigments,
    "tints": SHELF.tints,
    "products": SHELF.products,
    "finishes": SHELF.finishes,
    "coats": SHELF.coats,
    "tasks": SHELF.tasks,
    "equipment": SHELF.equipment,
    "sundries": SHELF.sundries,
    "cautions": SHELF.cautions,
    "terms": SHELF.terms,
    "cancels": SHELF.cancelling,
    "extras": SHELF.extras,
    "cures": SHELF.cures,
    "limits": SHELF.limits,
    "dusts": SHELF.dust,
    "deposits": SHELF.deposits,
    "spreads": SHELF.spreads,
    "ties": SHELF.ties,
    "steps": SHELF.steps,
}
EVERY_ROW = pytest.mark.parametrize("row", ROWS.values(), ids=ROWS)
EVERY_FINISH = pytest.mark.parametrize("finish", SHELF.finishes, ids=lambda f: f.key)


@EVERY_ROW
def test_nothing_on_the_shelf_is_without_a_source_or_twice_there(row):
    assert len(row) >= 1
    assert all(record.source.strip() for record in row)
    assert len({record.key for record in row}) == len(row)


@EVERY_FINISH
def test_every_finish_is_made_of_a_wear_product_that_can_be_bought(finish):
    product = SHELF.product(finish.product)

    assert product.kind in {"urethane", "clear_epoxy"}
    assert len(product.packs) >= 2


@pytest.mark.parametrize("product", SHELF.products, ids=lambda p: p.key)
def test_bigger_kits_cost_more_and_less_by_the_litre(product):
    packs = sorted(product.packs, key=lambda pack: pack.volume_l)
    by_litre = [float(pack.price) / pack.volume_l for pack in packs]

    assert [pack.price for pack in packs] == sorted(pack.price for pack in packs)
    assert by_litre == sorted(by_litre, reverse=True)


def test_every_coat_has_a_task_that_lays_it_and_one_that_mixes_it():
    tasks = [*SHELF.tasks, *(task for extra in SHELF.extras for task in extra.tasks)]
    mixed = {coat for task in tasks if task.driver == "batch" for coat in task.coats}

    assert mixed == set(get_args(CoatKind))
    assert {task.stage for task in SHELF.tasks} == set(get_args(Stage))
    assert {sundry.driver for sundry in SHELF.sundries} <= set(get_args(Driver))


def test_a_reader_gets_the_same_shelf_every_time():
    assert read_shelf() is read_shelf()


@pytest.mark.parametrize("kind", ["pigment", "tint", "product", "finish", "coat"])
def test_an_unknown_key_lists_the_choices_and_says_where(kind):
    with pytest.raises(ShelfError) as caught:
        getattr(SHELF, kind)("moonbeam", about="floor, third line")

    assert caught.value.line.startswith(
        "floor, third line: found moonbeam; expected one of "
    )
    assert ROWS[f"{kind}es" if kind == "finish" else f"{kind}s"][0].key in caught.value.line


@pytest.fixture
def copied(tmp_path):
    """A copy of the shelf's files that a test may spoil."""
    with as_file(files("kit.stock.shelf")) as folder:
        for file in folder.glob("*.toml"):
            shutil.copy(file, tmp_path)
    return tmp_path


def spoil(folder, file, old, new):
    text = (folder / file).read_text("utf-8")
    assert old in text
    (folder / file).write_text(text.replace(old, new, 1), "utf-8")


def test_a_copy_reads_like_the_shelf_itself(copied):
    assert read_shelf(copied) == SHELF


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        *[
            (
                "products.toml",
                'price = "128.00"',
                f"price = {bad}",
                "seal_epoxy], packs 1, price",
            )
            for bad in ('"-1"', '"plenty"', "nan", '"1e9"')
        ],
        (
            "products.toml",
            "parts_b = 1",
            "parts_b = 0",
            "[product.seal_epoxy], parts_b: found 0",
        ),
        ("products.toml", "parts_b = 1\n", "", "parts_b: found nothing; expected it"),
        ("products.toml", "parts_a", "part_a", "[product.seal_epoxy], "),
        (
            "coats.toml",
            '"seal_epoxy"',
            '"tar"',
            "[coat.seal], product: found tar; expected",
        ),
        (
            "coats.toml",
            "film_um = 203.2",
            "film_um = -0.5",
            "film_um: found -0.5; expected",
        ),
        (
            "finishes.toml",
            '"wear_urethane_matte"',
            '"lard"',
            "[finish.matte], product: found",
        ),
        ("house.toml", '"0.065"', '"6.5"', "[house.demo], tax_share: found 6.5; expected"),
        ("house.toml", '"0.18"', '"1.00"', "[house.demo], margin_share: found"),
        ("house.toml", '"USD"', '"dollars"', "[house.demo], currency: found"),
        ("house.toml", "weight = 30", "weight = 0", "payments 1, weight: found 0"),
        ("house.toml", '"materials"', '"everything"', "[house.demo], tax_on: found"),
        (
            "tasks.toml",
            '"perimeter"',
            '"moonlight"',
            "[task.mask], driver: found moonlight",
        ),
        (
            "extras.toml",
            'not_with = ["cove_high"]',
            'not_with = ["cove_low"]',
            "[extra.cove], not_with: found cove_low; expected one of cove_high, ",
        ),
        ("extras.toml", '["matte_grip"]', '["velvet"]', "], given_by: found velvet"),
        ("extras.toml", '"below_grade"', '"below_it"', "], called_for_by: found below_it"),
        ("extras.toml", '"cove_mortar"', '"mud"', "[extra.cove], product: found mud"),
        ("extras.toml", 'before = "seal"', 'before = "rain"', "coats "),
        ("extras.toml", "quantity = 40", "quantity = 0", "allowance, quantity: found 0"),
        ("extras.toml", '"11.50"', '"cheap"', "allowance, price: found cheap"),
        ("extras.toml", "girth_m = 0.1016", "girth_m = 4", "base, girth_m: found 4"),
        ("cautions.toml", '"always"', '"sometimes"', "[caution.picture], trigger: found"),
        ("cautions.toml", "2026-11-25", '"lately"', "[caution.picture], checked: found"),
        ("equipment.toml", "[equipment.floor_grinder]", "[gear.x]", "found gear; expected"),
        (
            "equipment.toml",
            "[equipment.floor_grinder]",
            "[equipment",
            "equipment.toml: found",
        ),
        (
            "equipment.toml",
            "[equipment.floor_grinder]",
            "equipment = 3\n[x]",
            "equipment.toml",
        ),
    ],
)
def test_a_bad_table_is_named_with_file_table_and_field(copied, file, old, new, told):
    spoil(copied, file, old, new)

    with pytest.raises(ShelfError) as caught:
        read_shelf(copied)

    assert caught.value.line.startswith(file)
    assert told in caught.value.line
    assert "\n" not in caught.value.line


def test_a_key_in_two_files_is_refused_with_both(copied):
    (copied / "mine.toml").write_text(
        (copied / "equipment.toml").read_text("utf-8"), "utf-8"
    )

    with pytest.raises(ShelfError, match=r"mine\.toml, \[equipment\..* equipment\.toml"):
        read_shelf(copied)


@pytest.mark.parametrize("text", ["finish = 3", "[finish]\nmatte = 3"])
def test_a_kind_without_tables_is_refused(copied, text):
    (copied / "mine.toml").write_text(text, "utf-8")

    with pytest.raises(ShelfError, match=r"mine\.toml: found finish; expected tables like"):
        read_shelf(copied)


@pytest.mark.parametrize(
    ("file", "told"),
    [
        ("house.toml", "[house]: found"),
        ("coats.toml", "[coat]: found"),
        ("pigments.toml", "[pigment]: found"),
        ("tints.toml", "[tint]: found"),
        ("finishes.toml", "[finish]: found"),
    ],
)
def test_a_shelf_without_the_needful_is_refused(copied, file, told):
    (copied / file).unlink()

    with pytest.raises(ShelfError) as caught:
        read_shelf(copied)

    assert caught.value.line.startswith(told)


def test_every_kind_of_table_is_used():
    """The house is one table; charges are the owner's to add, none comes with the kit."""
    assert len(set(KINDS)) == len(KINDS) == len(ROWS) + 2
    assert SHELF.charges == ()


def test_an_extra_that_adds_nothing_is_refused(copied):
    (copied / "mine.toml").write_text(
        '[extra.air]\nname = "Air"\nsays = "Fresh."\nscope = "Air"\nsource = "made up"\n',
        "utf-8",
    )

    with pytest.raises(ShelfError, match=r"mine\.toml, \[extra\.air\]: found nothing that"):
        read_shelf(copied)
