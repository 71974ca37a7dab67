"""The owner's side: shut until the passphrase, told in messages only, gone when shut."""

import json
from decimal import Decimal

import pytest

from kit.bench.faults import Faults
from kit.bench.lock import RESTS_S, TRIES, OwnerLock
from kit.bench.owner import owner_figures
from kit.bench.scenes import Studio
from kit.bench.state import TableState
from kit.bench.visit import Visit
from kit.errors import KitError

PASSPHRASE = "grey heron, low tide"


class Clock:
    def __init__(self):
        self.now_s = 0.0

    def __call__(self):
        return self.now_s


@pytest.fixture
def lock(tmp_path):
    return OwnerLock(tmp_path / "config" / "owner.json", clock=Clock())


@pytest.fixture
def page(demo_job, lock, tmp_path, monkeypatch):
    monkeypatch.setattr(Studio, "paint", lambda _, scene: (b"jpeg",) * len(scene.sides))
    monkeypatch.setattr(Studio, "paint_sample", lambda _, __: (b"jpeg",))
    visit = Visit(TableState(demo_job), faults=Faults(print, tmp_path), lock=lock)
    visit.sent = []
    visit.frame.send = lambda content, buffers=None: visit.sent.append(content)  # noqa: ARG005
    return visit


def ask(visit, **wish):
    visit.frame._handle_custom_msg({**wish, "number": 1}, [])
    return next(c for c in visit.sent[::-1] if "answered" in c)["complaint"]


def shown_to_owner(visit):
    return [c["owner"] for c in visit.sent if "owner" in c]


def figures_of_the_owner(visit):
    """Amounts that stand in the owner's bid and nowhere in the client's offer."""
    bid, offer = visit.state.answers.bid, visit.state.offer
    asked = {f"{o.total:,.2f}" for o in offer.options} | {f"{offer.total:,.2f}"}
    return {f"{a:,.2f}" for a in (bid.cost, *(line.amount for line in bid.lines))} - asked


def test_the_first_passphrase_is_chosen_and_later_ones_must_be_the_same(lock):
    assert not lock.is_set
    lock.choose(PASSPHRASE)

    lock.check(PASSPHRASE)
    with pytest.raises(KitError, match="passphrase"):
        lock.check(PASSPHRASE + " ")
    with pytest.raises(KitError, match="one already"):
        lock.choose("another heron")


def test_a_passphrase_is_kept_only_as_a_hash_that_its_owner_alone_can_read(lock):
    lock.choose(PASSPHRASE)

    assert PASSPHRASE.encode() not in lock.path.read_bytes()
    assert lock.path.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("passphrase", ["", "seven77", "x" * 201])
def test_a_passphrase_too_short_or_too_long_is_refused_and_none_is_set(lock, passphrase):
    with pytest.raises(KitError, match="8 to 200"):
        lock.choose(passphrase)
    assert not lock.is_set


def test_after_five_wrong_ones_even_the_right_one_waits(lock):
    lock.choose(PASSPHRASE)
    for _ in range(TRIES):
        with pytest.raises(KitError, match="not the one"):
            lock.check("a wrong heron")
    with pytest.raises(KitError, match="in a row"):
        lock.check(PASSPHRASE)

    lock._clock.now_s += RESTS_S
    lock.check(PASSPHRASE)


@pytest.mark.parametrize("left", [b"", b"{}", b'{"salt": 1, "hash": 2}', b"\xff"])
def test_a_damaged_file_is_told_by_name(lock, left):
    lock.choose(PASSPHRASE)
    lock.path.write_bytes(left)
    with pytest.raises(KitError, match=r"owner\.json"):
        lock.check(PASSPHRASE)


def test_nothing_of_the_owners_is_in_page_or_traits_before_it_opens_and_after_it_shuts(
    page,
):
    planted = figures_of_the_owner(page)
    assert len(planted) > 8

    def seen():
        said = json.dumps([page.frame.get_state(), page.sent], default=str)
        return {amount for amount in planted if amount in said}

    assert seen() == set()
    assert ask(page, do="owner", passphrase=PASSPHRASE, again=PASSPHRASE) == ""
    assert seen() == planted  # it would be found

    page.sent.clear()
    assert ask(page, do="owner_shut") == ""
    assert ask(page, do="finish", finish="gloss") == ""
    assert shown_to_owner(page) == [None]
    assert seen() == set()


def test_a_wrong_passphrase_opens_nothing(page, lock):
    lock.choose(PASSPHRASE)

    assert "Passphrase" in ask(page, do="owner", passphrase="another heron")
    assert shown_to_owner(page) == []
    assert not page.owner.is_open


def test_a_page_that_is_opened_anew_finds_it_shut(page):
    ask(page, do="owner", passphrase=PASSPHRASE, again=PASSPHRASE)
    page.sent.clear()
    ask(page, do="hello")

    assert shown_to_owner(page) == [None]
    assert not page.owner.is_open


def test_while_it_is_open_costs_follow_the_choices(page):
    ask(page, do="owner", passphrase=PASSPHRASE, again=PASSPHRASE)
    before = shown_to_owner(page)[-1]
    ask(page, do="finish", finish="gloss")

    after = shown_to_owner(page)[-1]
    assert after["total"] == page.frame.figures["price"]["total"]
    assert after["cost"] != before["cost"]


def test_a_discount_comes_out_of_the_margin_alone(demo_workup):
    bid = demo_workup.bid
    margin = next(line.amount for line in bid.lines if line.kind == "margin")
    told = owner_figures(demo_workup, Decimal(10))["discount"]
    asked = bid.cost + margin
    off = (asked / 10).quantize(Decimal("0.01"))

    assert told["left"] == f"${margin - off:,.2f}"
    assert told["share"] == f"{100 * (margin - off) / (asked - off):.1f}\u202f%"
    assert not told["loses"]
    assert owner_figures(demo_workup, Decimal(50))["discount"]["loses"]


@pytest.mark.parametrize("percent", [-1, 51, float("nan"), float("inf"), "ten", None, True])
def test_a_discount_that_is_none_is_refused_and_the_last_one_stays(page, percent):
    ask(page, do="owner", passphrase=PASSPHRASE, again=PASSPHRASE)
    ask(page, do="owner_off", percent=5)

    assert ask(page, do="owner_off", percent=percent) != ""
    assert shown_to_owner(page)[-1]["discount"]["percent"] == 5.0


def test_a_discount_on_a_shut_side_tells_nothing(page):
    ask(page, do="owner_off", percent=5)

    assert shown_to_owner(page) == []


def test_the_owner_sees_what_each_extra_asks_costs_and_leaves(demo_job):
    """Forty feet of cracks: 460.00 asked, 284.00 of it cost."""
    state = TableState(demo_job.changed(extras=("crack_repair",)))
    rows = {row["name"]: row for row in owner_figures(state.answers)["extras"]}

    assert rows["Crack repair allowance"] == {
        "name": "Crack repair allowance",
        "how": "in the price",
        "asks": "$460.00",
        "cost": "$284.00",
        "leaves": "$176.00",
        "days": "",
    }
    assert rows["Moisture primer"]["how"] == "not taken"
    assert rows["Moisture primer"]["days"] == "+1"


def test_the_first_passphrase_is_typed_twice_and_no_later_one_is(page, lock):
    says = ask(page, do="owner", passphrase=PASSPHRASE, again="grey heron, high tide")
    assert "same one twice" in says
    assert not lock.is_set
    assert ask(page, do="owner", passphrase=PASSPHRASE, again=PASSPHRASE) == ""
    assert ask(page, do="owner_shut") == ""
    assert ask(page, do="owner", passphrase=PASSPHRASE) == ""
