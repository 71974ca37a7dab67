"""The last gate: green for the paper as it is, red for each thing let through."""

from __future__ import annotations

import datetime
import tempfile
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from PIL import Image

from kit.errors import PaperError
from kit.press.gate import check_release, machine_traces
from kit.press.setting import typeset
from kit.proposal import propose
from kit.proposal.compose import compose

pytestmark = pytest.mark.paper
STAMP = datetime.datetime(2026, 11, 25, 12, tzinfo=datetime.UTC)
CANARY = "7391.46"


@pytest.fixture
def checked(full_view):
    """Pass a file through the gate of the whole proposal."""

    def check(pdf: bytes, **how: object) -> None:
        manuscript = compose(full_view)
        check_release(
            pdf, manuscript, title=full_view.title, author=full_view.firm.name, **how
        )

    return check


@pytest.fixture
def changed(pressed):
    """The pressed file with something done to it."""

    def change(do) -> bytes:
        out = BytesIO()
        with pikepdf.open(BytesIO(pressed)) as document:
            do(document)
            document.save(out)
        return out.getvalue()

    return change


def test_the_paper_as_pressed_is_released(checked, pressed):
    checked(pressed, withheld=(CANARY, "Overhead"))


def test_resaving_alone_is_not_what_turns_it_red(checked, changed):
    checked(changed(lambda _: None))


@pytest.mark.parametrize(
    "let_through",
    [
        lambda view: replace(view, flow=f"Ribbons. {CANARY}"),
        lambda view: replace(view, scope_out=(*view.scope_out, f"Labor {CANARY}")),
        lambda view: replace(view, client=replace(view.client, name=f"A {CANARY}")),
        lambda view: replace(
            view, pour=replace(view.pour, picture=replace(view.pour.picture, alt=CANARY))
        ),
        lambda view: replace(view, number=CANARY),
        lambda view: replace(view, price=replace(view.price, tax_note="7 391.46 in all")),
    ],
    ids=["prose", "list", "title", "alt text", "keywords", "note"],
)
def test_a_withheld_figure_let_through_turns_it_red(full_view, let_through):
    propose(let_through(full_view))
    with pytest.raises(PaperError, match=r"release.*its reader may not read") as caught:
        propose(let_through(full_view), withheld=(CANARY,))
    assert CANARY not in str(caught.value)


@pytest.mark.parametrize("near", ["17,391.46", "7,391.461", "391.46", "7391.4", "7391"])
def test_a_figure_that_only_contains_a_withheld_one_is_not_it(full_view, near):
    propose(replace(full_view, flow=f"Ribbons {near}."), withheld=(CANARY,))


@pytest.mark.parametrize(
    "written", ["7,391.46", "7391.46", "7\u202f391.46", "$7,391.46/lot"]
)
def test_a_withheld_figure_is_found_in_any_grouping(full_view, written):
    with pytest.raises(PaperError, match="its reader may not read"):
        propose(replace(full_view, flow=f"Ribbons {written}."), withheld=(CANARY,))


def test_a_withheld_text_is_found_across_a_line_break(full_view):
    flow = "word " * 14 + "margin of twenty-nine percent is ours"
    with pytest.raises(PaperError, match="its reader may not read"):
        propose(
            replace(full_view, flow=flow),
            withheld=("margin of twenty-nine percent is ours",),
        )


def test_a_second_end_of_file_turns_it_red(checked, pressed):
    with pytest.raises(PaperError, match="later additions"):
        checked(pressed + b"\n%%EOF\n")


def test_a_script_turns_it_red(checked, changed):
    def add(document):
        action = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="app.alert(1)")
        document.Root.OpenAction = action

    with pytest.raises(PaperError, match="script"):
        checked(changed(add))


def test_an_attachment_turns_it_red(checked, changed):
    def add(document):
        document.attachments["costs.csv"] = b"cost,7391.46"

    with pytest.raises(PaperError, match="attachment"):
        checked(changed(add))


def test_a_form_turns_it_red(checked, changed):
    def add(document):
        document.Root.AcroForm = pikepdf.Dictionary(Fields=pikepdf.Array())

    with pytest.raises(PaperError, match="form"):
        checked(changed(add))


@pytest.mark.parametrize(("key", "value"), [("/Title", "Bid"), ("/Subject", CANARY)])
def test_other_document_information_turns_it_red(checked, changed, key, value):
    def add(document):
        document.docinfo[key] = value

    with pytest.raises(PaperError, match="description"):
        checked(changed(add))


def test_an_unknown_name_in_the_metadata_turns_it_red(checked, changed):
    def add(document):
        xmp = document.Root.Metadata.read_bytes()
        more = b"<dc:format>application/pdf</dc:format><dc:source>bid</dc:source>"
        document.Root.Metadata.write(
            xmp.replace(b"<dc:format>application/pdf</dc:format>", more)
        )

    with pytest.raises(PaperError, match="dc:source"):
        checked(changed(add))


@pytest.mark.parametrize("marker", ["exif", "comment"])
def test_a_picture_that_describes_itself_turns_it_red(full_view, checked, marker):
    exif = Image.Exif()
    exif[0x013B] = "/home/someone"
    how = {"exif": exif} if marker == "exif" else {"comment": b"someone"}
    out = BytesIO()
    Image.new("RGB", (300, 200), "navy").save(out, "JPEG", **how)
    manuscript = compose(full_view)
    loaded = {**manuscript.files, "picture-1.jpg": out.getvalue()}
    pdf = typeset(replace(manuscript, files=loaded), stamp=STAMP)
    with pytest.raises(PaperError, match="inside a picture"):
        checked(pdf)


@pytest.mark.parametrize("trace", [str(Path.home() / "jobs"), f"{tempfile.gettempdir()}/x"])
def test_a_path_of_this_machine_turns_it_red(full_view, checked, trace):
    manuscript = compose(full_view)
    section = manuscript.files["floor.typ"].decode()
    leaky = section.replace('say("floor.heading")', f'"{trace}"')
    pdf = typeset(
        replace(manuscript, files={**manuscript.files, "floor.typ": leaky.encode()}),
        stamp=STAMP,
    )
    with pytest.raises(PaperError, match="trace of the machine"):
        checked(pdf)


def test_the_user_and_host_of_this_machine_are_looked_for(checked, full_view, monkeypatch):
    monkeypatch.setattr("getpass.getuser", lambda: "quillfeather")
    monkeypatch.setattr("socket.gethostname", lambda: "boathouse-9")
    assert {"quillfeather", "boathouse-9"} <= set(machine_traces())
    leaky = typeset(compose(replace(full_view, flow="by quillfeather")), stamp=STAMP)
    with pytest.raises(PaperError, match="trace of the machine"):
        checked(leaky)


def test_a_user_whose_name_the_paper_bears_may_send_it(full_view, monkeypatch):
    monkeypatch.setattr("getpass.getuser", lambda: "oddny")
    propose(full_view)
