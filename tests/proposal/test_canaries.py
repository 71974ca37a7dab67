"""Canaries in every field of the owner's side: none sings on the paper."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from io import BytesIO

import pikepdf
import pytest
from bands import Bands

from kit.errors import Concern, PaperError
from kit.press.reading import every_string, page_text
from kit.proposal import client_view, letter, owners_figures, propose
from kit.site.slab import Reading

pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
pytestmark = pytest.mark.paper

WORD, FIGURE = "Quollpotoroo", Decimal("7391.46")
SUNG = ("quollpotoroo", "7391.46", "7,391.46", "7.391,46")


def planted(record: object) -> object:
    """A copy in which every text is the word and every amount is the figure."""
    if isinstance(record, Decimal):
        return FIGURE
    if isinstance(record, str):
        return WORD
    if isinstance(record, tuple):
        return tuple(map(planted, record))
    if is_dataclass(record) and not isinstance(record, type):
        made = {f.name: planted(getattr(record, f.name)) for f in fields(record) if f.init}
        return replace(record, **made)
    return record


@pytest.fixture(scope="module")
def spoilt(demo_job, demo_workup):
    """A job and its answers, full of canaries wherever a client may not read."""
    concerns = (Concern(WORD, WORD, WORD),)
    work = demo_workup.work
    answers = replace(
        demo_workup,
        bid=planted(demo_workup.bid),
        concerns=concerns,
        work=replace(
            work,
            crew_hours=float(FIGURE),
            concerns=concerns,
            tasks=tuple(
                replace(t, name=WORD, labor_h=float(FIGURE), how=WORD) for t in work.tasks
            ),
        ),
        system=replace(
            demo_workup.system,
            coats=tuple(replace(coat, name=WORD) for coat in demo_workup.system.coats),
        ),
    )
    slab = demo_job.site.slab
    reading = Reading(kind="rh", value=71, where=WORD, day=demo_job.date)
    site = demo_job.site.changed(
        slab=slab.changed(notes=WORD, readings=(reading,)),
        client=demo_job.site.client.changed(phone=WORD),
    )
    return demo_job.changed(site=site), answers


@pytest.fixture(scope="module", params=["en", "es-ES"])
def released(request, spoilt):
    job, answers = spoilt
    view = client_view(job, answers, Bands(job), language=request.param)
    return view, propose(view)


def sung(text: str) -> list[str]:
    flat = "".join(text.lower().split()).replace("\u00ad", "")
    return [canary for canary in SUNG if canary in flat]


def test_no_canary_is_in_what_is_extracted(released, tmp_path):
    _, pdf = released
    with pikepdf.open(BytesIO(pdf)) as document:
        assert sung(page_text(document)) == []
        assert sung("\n".join(every_string(document))) == []
        streams = [t for t in document.objects if isinstance(t, pikepdf.Stream)]
        bare = b"\n".join(stream.read_raw_bytes() for stream in streams)
        assert sung(bare.decode("latin-1")) == []
    read = pypdf.PdfReader(BytesIO(pdf))
    assert sung("\n".join(page.extract_text() for page in read.pages)) == []
    assert sung(str(dict(read.metadata))) == []
    if shutil.which("pdftotext"):
        (tmp_path / "p.pdf").write_bytes(pdf)
        said = subprocess.run(
            ["pdftotext", str(tmp_path / "p.pdf"), "-"], capture_output=True, check=True
        )
        assert sung(said.stdout.decode()) == []


def test_no_canary_is_in_the_message(released):
    view, pdf = released
    message = letter(view, pdf, name="proposal.pdf")
    assert sung(message.get_body().get_content()) == []
    assert sung(str(message.items())) == []


WHERE = {
    "prose": lambda view, words: replace(view, flow=f"Ribbons. {words}."),
    "a list": lambda view, words: replace(view, scope_out=(*view.scope_out, words)),
    "the title": lambda view, words: replace(view, title=f"A floor {words}"),
    "the keywords": lambda view, words: replace(view, number=words),
    "an alt text": lambda view, words: replace(
        view, plan=replace(view.plan, drawing=replace(view.plan.drawing, alt=words))
    ),
    "the firm, and so the XMP": lambda view, words: replace(
        view, firm=replace(view.firm, name=words)
    ),
}


@pytest.mark.parametrize("words", ["Quollpotoroo", "$7,391.46", "7.391,46 US$"])
@pytest.mark.parametrize("where", WHERE)
def test_a_canary_that_is_let_through_is_caught(full_view, where, words):
    leaky = WHERE[where](full_view, words)
    with pytest.raises(PaperError, match="release of the paper") as caught:
        propose(leaky, withheld=(WORD, f"{FIGURE:.2f}"))
    assert sung(str(caught.value)) == []


def test_the_owners_figures_and_how_they_came_to_be_are_what_is_looked_for(spoilt):
    _, answers = spoilt
    assert f"{FIGURE:.2f}" in owners_figures(answers)


def test_how_a_line_of_the_bid_came_to_be_is_caught(demo_workup, full_view):
    withheld = owners_figures(demo_workup)
    how = next(line.how for line in demo_workup.bid.lines if line.kind == "labor")
    with pytest.raises(PaperError, match="reader may not read"):
        propose(replace(full_view, flow=how), withheld=withheld)
    propose(full_view, withheld=withheld)
