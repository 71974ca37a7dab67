"""What should not be on paper, typed into every field: printed as it is, or named."""

from __future__ import annotations

import re
import subprocess
import sys
import unicodedata
from dataclasses import replace
from io import BytesIO

import pytest
from bands import Bands
from PIL import Image

from kit.errors import KitError, PaperError, SheetError
from kit.job import Job, workup
from kit.press.names import check_names
from kit.press.showing import rewritten, texts
from kit.proposal import client_view, letter, propose
from kit.record import filled
from kit.site.records import Client

pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")

ATTACKS = {
    "an order to the typesetter": '#eval("1+1") #read("/etc/passwd")',
    "mathematics": "$ integral x dif x $",
    "a label": "<label> @reference",
    "escapes": "\\ \\u{41} \\pagebreak",
    "a script": "<script>alert(1)</script>",
    "a style": "\"'; } @page{size:1in}",
    "a list": "[+ 735.75]",
    "a place of the catalogue": "{total} {client} {0} %s",
    "a formula": "=HYPERLINK(1)",
    "a header": "A\r\nBcc: x@y.example",
    "direction": "\u202egnp.exe",
    "a null": "A\x00B\x07",
    "half a character": "A\ud800B",
    "a joiner": "Zo\u200de",
    "nothing seen": "\u200b\u2060",
    "many combining marks": "Z" + "\u0301" * 200,
    "a glyph we lack": "Fox \U0001f98a",
    "Khmer": "\u1797\u17b6\u179f\u17b6",
    "ten thousand letters": "W" * 10_000,
    "ten thousand words": "word " * 10_000,
}
FIELDS = {
    "client, name": lambda job, text: _client(job, name=text),
    "client, person": lambda job, text: _client(job, person=text),
    "client, address": lambda job, text: _client(job, address=text),
    "firm, name": lambda job, text: job.changed(firm=job.firm.changed(name=text)),
    "firm, person": lambda job, text: job.changed(firm=job.firm.changed(person=text)),
    "firm, address": lambda job, text: job.changed(firm=job.firm.changed(address=text)),
    "firm, phone": lambda job, text: job.changed(firm=job.firm.changed(phone=text)),
    "firm, licence": lambda job, text: job.changed(firm=job.firm.changed(licence=text)),
    "job, title": lambda job, text: job.changed(title=text),
    "job, number": lambda job, text: job.changed(number=text),
    "room, name": lambda job, text: _room(job, text),
}


def _client(job: Job, **fields: str) -> Job:
    return job.changed(site=job.site.changed(client=job.site.client.changed(**fields)))


def _room(job: Job, text: str) -> Job:
    room, old = job.site.rooms[-1].changed(name=text), job.site.rooms[-1].name
    doors = tuple(
        door.changed(between=tuple(text if name == old else name for name in door.between))
        for door in job.site.doorways
    )
    rooms = (*job.site.rooms[:-1], room)
    return job.changed(site=job.site.changed(rooms=rooms, doorways=doors))


@pytest.mark.parametrize("attack", ATTACKS)
def test_every_field_is_refused_by_name_or_printed_as_it_was_typed(demo_job, attack):
    text, job, taken = ATTACKS[attack], demo_job, []
    for field, change in FIELDS.items():
        try:
            changed = change(job, text)
            check_names(changed)
        except KitError as refused:
            line = refused.line
            assert "\n" not in line, field
            assert "; expected" in line, field
            assert any(word in line for word in field.split(", ")), (field, line)
            assert len(line) < 400, field
        else:
            job = changed
            taken.append(field)
    if taken:
        view = client_view(job, workup(job), Bands(demo_job))
        plain = unicodedata.normalize("NFC", text).strip()
        assert sum(plain in words for _, words in texts(view)) >= len(taken)


@pytest.mark.parametrize("letter_", ["\U0001f98a", "\u1797"])
def test_a_missing_glyph_is_named_with_its_field_and_its_character(demo_job, letter_):
    job = _client(demo_job, person=f"Ann {letter_}")
    with pytest.raises(PaperError, match=rf"client, person: found {letter_} \(U\+"):
        client_view(job, workup(job), Bands(job))


def test_a_client_of_ten_thousand_letters_is_refused_on_the_sheet():
    with pytest.raises(SheetError, match=r"name.*at most 120"):
        filled(Client, {"name": "W" * 10_000}, where="client")


def test_a_view_of_ten_thousand_letters_is_refused_by_the_press(make_view):
    long = make_view(client=replace(make_view().client, name="W" * 10_000))
    with pytest.raises(PaperError, match=r"client, name: found 10,000 characters"):
        propose(long)


def test_what_is_missing_is_listed_whole_before_anything_is_made(make_view):
    bare = make_view(price=None, dated=None, date="",
                     client=replace(make_view().client, name="\u200b "))  # fmt: skip
    for make in (propose, lambda view: letter(view, b"%PDF", name="p.pdf")):
        with pytest.raises(PaperError) as caught:
            make(bare)
        for part in ("client, name", "date", "price", "open until"):
            assert part in caught.value.line


@pytest.mark.paper
def test_words_between_braces_are_no_places_of_the_catalogue(full_view):
    spoilt = rewritten(full_view, lambda *_: "{total} {name}")
    spoilt = replace(spoilt, language="es", accent="")
    pages = pypdf.PdfReader(BytesIO(propose(spoilt))).pages
    said = "".join(page.extract_text() for page in pages)
    assert re.sub(r"\s", "", said).count("{total}{name}") > 40


@pytest.mark.paper
def test_six_pages_are_at_most_two_megabytes_at_two_hundred_pixels_an_inch(make_view):
    """Noise is the dearest picture there is: no floor compresses worse."""
    import numpy as np

    noise = np.random.default_rng(1).integers(0, 255, (1500, 2000, 3), dtype=np.uint8)
    calm = Image.fromarray(noise).resize((500, 375)).resize((2000, 1500))
    out = BytesIO()
    calm.save(out, "JPEG", quality=93)
    sheens = tuple(
        replace(one, picture=replace(one.picture, image=out.getvalue()))
        for one in make_view().sheens
    )
    pdf = propose(make_view(cover=sheens, sheens=sheens))
    assert len(pypdf.PdfReader(BytesIO(pdf)).pages) <= 6
    assert len(pdf) <= 2_000_000


@pytest.mark.paper
def test_pictures_of_the_floor_are_two_hundred_pixels_an_inch(demo_job, demo_workup):
    """Asked of the renderer at that size, and not made smaller on their way."""
    import pikepdf

    view = client_view(demo_job, demo_workup, Bands(demo_job))
    pdf = propose(view)
    wide_pt = view.pour.walls.width_pt
    with pikepdf.open(BytesIO(pdf)) as document:
        wide = {
            int(thing.Width)
            for page in document.pages
            for thing in page.resources.get("/XObject", {}).values()
            if thing.get("/Subtype") == "/Image"
        }
    least = [wide_pt / 72 * 200, sum(sorted(wide)[-3:-1])]
    assert max(wide) >= least[0]
    # both halves of the cover, from edge to edge of a letter page
    assert least[1] >= 612 / 72 * 200 - 2


ANOTHER_PROCESS = """
import sys
sys.path[:0] = [{tests!r}]
from bands import Bands
from kit.job import Job, workup
from kit.proposal import client_view, propose
import hashlib
job = Job.from_sheet({sheet!r})
print(hashlib.sha256(propose(client_view(job, workup(job), Bands(job)))).hexdigest())
"""


@pytest.mark.slow
@pytest.mark.paper
def test_another_process_makes_the_same_bytes(demo_job, demo_workup, demo_sheet):
    import hashlib
    from pathlib import Path

    ours = propose(client_view(demo_job, demo_workup, Bands(demo_job)))
    tests = str(Path(__file__).parent.parent)
    code = ANOTHER_PROCESS.format(tests=tests, sheet=str(demo_sheet))
    theirs = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, check=True, text=True
    )
    assert theirs.stdout.strip() == hashlib.sha256(ours).hexdigest()
