"""The catalogue: one file a language, the same keys and places, no words elsewhere."""

from __future__ import annotations

import re
from importlib import resources
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from bands import Bands

import kit.proposal
from kit.errors import PaperError
from kit.job import workup
from kit.press.showing import texts
from kit.proposal import client_view, propose, words_in
from kit.proposal.catalogue import languages
from kit.proposal.compose import section_names
from kit.stock import read_shelf

PLACE = re.compile(r"\{\w+\}")
OTHERS = [name for name in languages() if name != "en"]
HOME = Path(kit.proposal.__file__).parent


@pytest.mark.parametrize("language", OTHERS)
def test_every_language_has_the_same_keys(language):
    assert words_in(language).said.keys() == words_in("en").said.keys()


@pytest.mark.parametrize("language", OTHERS)
def test_every_sentence_has_the_same_places(language):
    said = words_in(language).said
    for key, text in words_in("en").said.items():
        assert sorted(PLACE.findall(said[key])) == sorted(PLACE.findall(text)), key


@pytest.mark.parametrize("language", OTHERS)
def test_a_language_says_what_the_shelf_tells_a_client(language):
    ours, shelf = words_in(language).ours, read_shelf()
    told = [f for one in shelf.finishes for f in (one.name, one.says)]
    told += [
        f
        for one in shelf.extras
        for f in (one.name, one.says, one.scope, one.left_out)
        if f
    ]
    told += [f for one in (*shelf.cautions, *shelf.terms) for f in (one.title, one.says)]
    told += [one.name for one in (*shelf.pigments, *shelf.cancelling)]
    assert [text for text in told if text not in ours] == []


def test_all_instalments_of_the_house_are_said():
    said = words_in("es")
    for part in read_shelf().house.payments:
        assert said.told(part.due) != part.due


def test_words_of_the_owners_own_stay_as_they_are():
    assert words_in("es").told("Chrome, my own") == "Chrome, my own"


def test_a_place_that_was_filled_in_is_not_filled_again():
    assert words_in("en")("paper.title", client="{client}") == "A poured floor for {client}"


@pytest.mark.parametrize("name", section_names())
def test_no_section_has_words_of_its_own(name):
    """Neither content between brackets, less what is put in there, nor a sentence."""
    source = resources.files("kit.proposal.sections").joinpath(name, "section.typ")
    code = re.sub(r"//.*", "", source.read_text())
    bare = re.sub(r"#[\w.-]+(\([^()]*\))?", "", code)
    assert re.findall(r"\[[^\[\]]*[A-Za-z]{2}[^\[\]]*\]", bare) == []
    assert [text for text in re.findall(r'"([^"]*)"', code) if " " in text.strip()] == []


def test_no_module_of_the_paper_has_sentences_of_its_own():
    """A sentence is a string in code, no docstring and no complaint, with blanks in it."""
    allowed = re.compile(
        r"PaperError|description=|expected=|found=|about=|: self\.|\"\"\"|lacks"
    )
    for path in (*HOME.glob("*.py"), *HOME.glob("sections/*/__init__.py")):
        code = re.sub(r'"""(.|\n)*?"""', "", path.read_text())
        for line in code.splitlines():
            if not allowed.search(line):
                assert not re.search(r"\"[A-Z][a-z]+ [a-z]+[^\"]*\"", line), (path, line)


def test_a_language_that_the_paper_does_not_speak_is_named_with_those_it_does():
    with pytest.raises(PaperError, match=r"language: found fr; expected one of en, es"):
        words_in("fr")


def test_a_country_of_ones_own_writes_figures_its_way(demo_job, demo_workup):
    seen = client_view(demo_job, demo_workup, Bands(demo_job), language="es-ES")
    total = f"{demo_workup.offer.total:,.2f}"
    assert seen.price.total_bare == total.translate(str.maketrans(",.", ".,"))
    assert seen.date == "25 de noviembre de 2026"


@pytest.fixture(scope="module")
def spanish(demo_job):
    job = demo_job.changed(
        language="es", extras=("cove", "crack_repair"), paper={"units": "metric"}
    )
    return client_view(job, workup(job), Bands(job))


ENGLISH = r"\b(the|and|with|of|we|is|are|to|your|floor|price|day|coat|per|only|from)\b"


def test_a_spanish_paper_has_no_english_sentence(spanish):
    own = ("place", "client", "firm", "plan, rooms", "language", "page")
    said = [(where, t) for where, t in texts(spanish) if not where.startswith(own)]
    found = [(w, t) for w, t in said if re.search(ENGLISH, t) and "label" not in w]
    assert found == []


@pytest.mark.paper
def test_the_language_of_the_file_is_that_of_its_words(spanish):
    with pikepdf.open(BytesIO(propose(spanish))) as opened:
        assert opened.Root.Lang == "es-US"
        assert str(opened.docinfo.Title) == "Un piso vertido para Slipway Pottery"
        assert "propuesta" in str(opened.docinfo.Keywords)


def test_metres_and_the_price_for_them_follow_from_the_same_floor(spanish, demo_job):
    offer = workup(demo_job.changed(extras=("cove", "crack_repair"))).offer
    area = float(offer.area_sqft) * 0.09290304
    assert spanish.price.area == f"{area:,.1f}"
    assert spanish.price.unit == "m²"
    each = float(spanish.price.per_area.lstrip("$").replace(",", ""))
    assert each == pytest.approx(float(offer.total) / area, abs=0.006)
