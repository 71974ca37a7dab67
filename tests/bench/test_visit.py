"""One visit: wishes of the page become choices, and nothing of the owner's reaches it."""

import json

import pytest

from kit.bench import paper_desk as module
from kit.bench.faults import Faults
from kit.bench.lately import Lately
from kit.bench.opening import open_table
from kit.bench.papers import Paper
from kit.bench.scenes import Studio
from kit.bench.state import TableState
from kit.bench.visit import Visit
from kit.book import Book
from kit.errors import BookError
from kit.plan.views import SEEN, STANDINGS
from kit.pour.strip import seed_strip
from kit.proposal.catalogue import words_in
from kit.proposal.measures import Measures
from kit.proposal.planned import area_rows

JPEG = b"\xff\xd8 a picture \xff\xd9"


class Page:
    """The other end of the wire: sends wishes, keeps what it was told."""

    def __init__(self, visit):
        self.visit = visit
        self.told = []
        visit.frame.send = lambda content, buffers=None: self.told.append(
            (content, buffers)
        )

    def ask(self, **wish):
        self.told.clear()
        self.visit.frame._handle_custom_msg({**wish, "number": 7}, [])
        return next(c for c, _ in self.told if c.get("answered") == 7)["complaint"]

    @property
    def figures(self):
        return self.visit.frame.figures


@pytest.fixture
def scenes(monkeypatch):
    """Scenes that were asked for, pictures of them being but bytes."""
    asked = []

    def paint(self, scene):
        asked.append(scene)
        return tuple(JPEG for _ in scene.sides)

    monkeypatch.setattr(Studio, "paint", paint)
    monkeypatch.setattr(Studio, "paint_sample", lambda _, scene: (JPEG,) * len(scene.sides))
    return asked


@pytest.fixture
def page(demo_job, scenes, tmp_path):
    said = []
    visit = Visit(TableState(demo_job), faults=Faults(said.append, tmp_path))
    page = Page(visit)
    page.said = said
    return page


def test_the_tape_reads_the_offer(page):
    offer = page.visit.state.offer

    assert page.figures["price"]["plain"] == str(offer.total)
    assert page.figures["price"]["per_sqft"] == f"${offer.price_per_sqft}"
    assert page.figures["price"]["basis"] == f"per sq ft of {offer.area_sqft:.0f}"


def test_rooms_have_the_floor_that_the_paper_prints(page, demo_workup):
    """As `kit.proposal` sets its plan sheet: doorways a row, columns no walls."""
    takeoff = demo_workup.takeoff
    rows, poured, _ = area_rows(takeoff, Measures(words_in("en"), "us"))

    told = {room["name"]: room["area"] for room in page.figures["measure"]["rooms"]}
    assert told.items() <= {row.name: f"{row.area} sq ft" for row in rows}.items()
    assert page.figures["poured"] == {
        "area": f"{poured.area} sq ft",
        "walls": f"{poured.walls} ft",
    }


def test_what_is_measured_is_drawn_anew_only_when_it_was_measured_anew(page):
    before = page.figures["measure"]
    assert page.ask(do="knob", name="ribbon_m", value=0.6, gesture="") == ""
    assert page.ask(do="finish", finish="gloss") == ""
    assert page.figures["measure"] is before
    assert page.ask(do="way_out_wide", text="4 ft") == ""
    assert page.figures["measure"] != before


def palette(job):
    return job.recipe.palette


COME_TRUE = [
    ({"do": "finish", "finish": "gloss"}, lambda job: job.finish == "gloss"),
    ({"do": "tint", "tint": "ink_blue"}, lambda job: palette(job).tint == "ink_blue"),
    ({"do": "seed", "seed": 5}, lambda job: job.recipe.seed == 5),
    (
        {"do": "knob", "name": "calm", "value": 1},
        lambda job: job.recipe.flow.calm == 1.0,
    ),
    (
        {"do": "percent", "place": 0, "percent": 40},
        lambda job: palette(job).shares[0] == 0.4,
    ),
    (
        {"do": "border", "place": 0, "percent": 60},
        lambda job: palette(job).shares[0] == 0.6,
    ),
    ({"do": "add", "pigment": "gull_white"}, lambda job: len(palette(job).colours) == 4),
    ({"do": "remove", "place": 2}, lambda job: len(palette(job).colours) == 2),
    (
        {"do": "pigment", "place": 1, "pigment": "gull_white"},
        lambda job: palette(job).colours[1].pigment == "gull_white",
    ),
]


@pytest.mark.parametrize(
    ("wish", "came_true"), COME_TRUE, ids=[wish["do"] for wish, _ in COME_TRUE]
)
def test_every_wish_comes_true_and_can_be_undone(page, scenes, wish, came_true):
    before = page.visit.state.job
    pictures = len(scenes)

    assert page.ask(**wish) == ""
    assert came_true(page.visit.state.job)
    assert len(scenes) > pictures
    assert page.figures["head"]["can_undo"]

    page.ask(do="undo")
    assert page.visit.state.job == before
    page.ask(do="redo")
    assert came_true(page.visit.state.job)


@pytest.mark.parametrize(
    "wish",
    [
        {"do": "finish", "finish": "<script>alert(1)</script>"},
        {"do": "finish"},
        {"do": "finish", "finish": ["gloss"]},
        {"do": "seed", "seed": -1},
        {"do": "seed", "seed": True},
        {"do": "seed", "seed": 2**40},
        {"do": "knob", "name": "calm", "value": "wild"},
        {"do": "knob", "name": "calm", "value": float("nan")},
        {"do": "knob", "name": "motions", "value": 1},
        {"do": "percent", "place": 9, "percent": 10},
        {"do": "percent", "place": -1, "percent": 10},
        {"do": "percent", "place": 0, "percent": float("inf")},
        {"do": "border", "place": 2, "percent": 10},
        {"do": "add", "pigment": "fjord_blue"},
    ],
    ids=str,
)
def test_nonsense_is_told_and_changes_nothing(page, wish):
    job, figures = page.visit.state.job, page.figures

    assert page.ask(**wish) != ""
    assert page.visit.state.job is job
    assert page.figures == figures


def test_a_wish_nobody_knows_is_told_in_the_banner_and_still_answered(page):
    assert page.ask(do="format the disk") == ""
    assert "format the disk" in page.said[0]


def test_a_fault_nobody_foresaw_is_told_in_words(demo_job, scenes, tmp_path, monkeypatch):
    monkeypatch.setattr(Studio, "paint", lambda *_: 1 / 0)
    monkeypatch.setattr("kit.bench.faults.user_log_path", lambda *_, **__: tmp_path)
    visit = Visit(TableState(demo_job))

    assert "went wrong" in visit.frame.notice["says"]
    assert "Traceback" not in visit.frame.notice["says"]
    assert not visit.stage.busy
    assert "ZeroDivisionError" in (tmp_path / "table.log").read_text("utf-8")


def test_the_stage_shows_two_finishes_only_while_the_edge_parts_them(page):
    assert page.visit.stage.pictures["right"] == b""

    page.visit.stage.compare = True
    pictures = page.visit.stage.pictures
    assert pictures["right"] == JPEG
    assert [name for name, _ in pictures["tags"]] == ["Matte", "Gloss"]
    assert "left" in pictures["says"]

    page.ask(do="lay", side="right", finish="satin")
    assert [name for name, _ in page.visit.stage.pictures["tags"]] == ["Matte", "Satin"]
    assert page.visit.state.job.finish == "matte"


def test_the_view_and_the_light_ask_for_a_picture_and_not_for_a_price(page, scenes):
    answers = page.visit.state.answers
    page.visit.stage.view = "above"
    page.visit.stage.mood = "evening"

    assert any((scene.view, scene.mood) == ("above", "evening") for scene in scenes)
    assert page.visit.state.answers is answers


def test_the_room_is_seen_from_three_places_and_says_from_which(page, scenes):
    for view, words in list(SEEN.items())[1:]:
        page.visit.stage.view = view
        assert scenes[-1].view == view or any(scene.view == view for scene in scenes)
        assert words in page.visit.stage.pictures["says"]
    assert [key for key, _ in page.visit.stage.standings] == list(STANDINGS)


def test_four_pours_hang_beside_the_floor_and_four_more_are_others(page):
    first = [pour["seed"] for pour in page.visit.frame.pours]
    page.ask(do="more")
    more = [pour["seed"] for pour in page.visit.frame.pours]

    state = page.visit.state
    assert first[0] == state.job.recipe.seed
    assert len(set(first) | set(more)) == 8
    strip = seed_strip(state.job.recipe, state.answers.plan, 3)
    assert first[1:] == [recipe.seed for recipe in strip]


def test_a_pour_that_is_chosen_leaves_the_others_hanging(page):
    page.ask(do="more")
    hung = [pour["seed"] for pour in page.visit.frame.pours]
    page.ask(do="seed", seed=hung[2])
    assert page.visit.state.job.recipe.seed == hung[2]
    assert [pour["seed"] for pour in page.visit.frame.pours] == hung


def test_nothing_of_the_owners_side_reaches_a_trait_or_a_message(page, monkeypatch):
    """Every cost, margin and line of the bid is looked for in all that the page is told."""
    monkeypatch.setattr(
        module, "make_paper", lambda *_: Paper("proposal-x.pdf", b"%PDF-1.7", (b"page",))
    )
    bid = page.visit.state.answers.bid
    page.ask(do="finish", finish="gloss")
    page.ask(do="paper")
    states = [page.visit.frame.get_state(), page.visit.stage.get_state()]
    for state in states:
        del state["_esm"], state["_css"]
    seen = json.dumps([states, page.told], default=str)
    secret = [line.amount for line in bid.lines] + [bid.cost]
    public = {bid.total}
    planted = {
        f"{amount:,.2f}" for amount in secret if amount > 20 and amount not in public
    }
    labels = {line.label for line in bid.lines}

    assert len(planted) >= 5
    assert [amount for amount in planted if amount in seen] == []
    assert [amount for amount in planted if amount.replace(",", "") in seen] == []
    assert [label for label in labels if label in seen] == []
    for word in ("margin", "overhead", "wage", "burden", "crew"):
        assert f'"{word}' not in seen


def test_the_paper_is_handed_over_as_a_pdf(page, monkeypatch):
    monkeypatch.setattr(
        module, "make_paper", lambda *_: Paper("proposal-x.pdf", b"%PDF-1.7")
    )
    page.ask(do="paper")

    told = [(c["paper"], b) for c, b in page.told if "paper" in c]
    assert told == [({"name": "proposal-x.pdf"}, [b"%PDF-1.7"])]
    assert page.figures["stations"]["paper"] == "PDF saved"


def test_every_change_is_in_the_book_before_it_is_called_saved(demo_job, scenes, tmp_path):
    with Book(tmp_path / "book.sqlite") as book:
        job_id = book.keep(demo_job).job_id
        visit = Visit(TableState(demo_job))
        page = Page(visit)
        visit.kept_in(book, book.open(job_id))
        page.ask(do="finish", finish="gloss")

        assert book.latest(job_id).finish == "gloss"
        saved = {"saved": {"ok": True, "says": ""}, "job": job_id}
        assert (saved, []) in page.told


def test_a_book_that_cannot_be_written_is_said_at_once(demo_job, scenes, tmp_path):
    book = Book(tmp_path / "book.sqlite")
    job_id = book.keep(demo_job).job_id
    visit = Visit(TableState(demo_job))
    page = Page(visit)
    visit.kept_in(book, book.open(job_id))
    book.close()
    page.ask(do="finish", finish="gloss")

    assert visit.state.job.finish == "gloss"
    assert "not in the job book" in visit.frame.notice["says"]


def test_the_table_opens_where_the_book_left_it(demo_job, scenes, tmp_path, monkeypatch):
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    with Book() as book:
        job_id = book.keep(demo_job.changed(finish="satin")).job_id
    monkeypatch.setenv("KIT_JOB", job_id)
    visit = open_table()

    assert visit.state.job.finish == "satin"


def test_the_floor_is_seen_again_as_it_was_seen(demo_job, scenes, tmp_path, monkeypatch):
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    with Book() as book:
        monkeypatch.setenv("KIT_JOB", book.keep(demo_job).job_id)
    monkeypatch.setenv("KIT_LOOKS", str(tmp_path / "looks.json"))
    stage = open_table().stage
    assert (stage.view, stage.mood) == ("room", "day")
    stage.view, stage.mood, stage.edge = "above", "evening", 0.25

    again = open_table().stage
    assert (again.view, again.mood, again.edge) == ("above", "evening", 0.25)
    assert (scenes[-1].view, scenes[-1].mood) == ("above", "evening")


@pytest.mark.parametrize("text", ["", "[1]", '{"view": "cellar", "edge": 7}', "\x00"])
def test_looks_that_cannot_be_read_are_as_at_first(
    demo_job, scenes, tmp_path, monkeypatch, text
):
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    with Book() as book:
        monkeypatch.setenv("KIT_JOB", book.keep(demo_job).job_id)
    (tmp_path / "looks.json").write_text(text)
    monkeypatch.setenv("KIT_LOOKS", str(tmp_path / "looks.json"))

    assert (stage := open_table().stage).view == "room"
    assert stage.edge == 0.52


def test_the_table_opens_on_the_sheet_it_is_given(demo_sheet, scenes, monkeypatch):
    monkeypatch.delenv("KIT_JOB", raising=False)
    monkeypatch.setenv("KIT_SHEET", str(demo_sheet))

    assert open_table().state.job.site.client.name == "Slipway Pottery"


def test_a_table_without_its_book_says_so(demo_sheet, scenes, monkeypatch, tmp_path):
    monkeypatch.delenv("KIT_JOB", raising=False)
    monkeypatch.setenv("KIT_SHEET", str(demo_sheet))
    monkeypatch.setenv("KIT_LATELY", str(tmp_path / "lately"))
    lately = Lately.of_this_server()
    assert lately is not None

    def no_book():
        raise BookError("book.sqlite", found="a folder", expected="a file")

    lately.begin(no_book)

    says = open_table().frame.notice["says"]
    assert "nothing here will be kept. book.sqlite: found a folder" in says


@pytest.mark.parametrize("widget", ["stage", "frame"])
def test_a_widget_refuses_a_name_it_does_not_know(page, widget):
    kind = type(getattr(page.visit, widget))
    with pytest.raises(TypeError, match="colour"):
        kind(colour="red")


def test_the_first_look_is_a_sketch_from_above_while_the_room_is_lit(page, scenes):
    first, second = scenes[:2]
    assert (first.view, second.view) == ("above", "room")
    assert first.width_px < 0.5 * second.width_px
    assert page.visit.stage.pictures["says"].startswith("The floor in the room")


@pytest.mark.parametrize("size_px", [[960, 600], [60, 60]], ids=["usual", "smallest"])
def test_a_turned_knob_is_sketched_and_then_drawn_in_full(page, scenes, size_px):
    page.visit.stage.size_px = size_px
    assert page.ask(do="knob", name="calm", value=0.9, gesture="knob.1") == ""

    sketch, full = scenes[-2:]
    assert sketch.is_sketch
    assert not full.is_sketch
    assert full == full.sized()
    assert [scene.sides[0].recipe.flow.calm for scene in (sketch, full)] == [0.9, 0.9]
    assert not page.visit.stage.busy
