"""What a survey adds is said to be in the price, and only while somebody does it."""

from pathlib import Path

import pytest

from kit.job import Job, workup
from kit.proposal.catalogue import words_in
from kit.proposal.measures import Measures
from kit.proposal.surveyed import surveyed_words
from kit.proposal.wording import left_out_words

SHEET = Path(__file__).parents[2] / "demo_assets" / "chart_house.toml"


@pytest.fixture(scope="module")
def answers():
    return workup(Job.from_sheet(SHEET))


def doing(answers):
    return {task.key for task in answers.work.tasks}


def test_all_that_was_surveyed_is_said(answers):
    said = surveyed_words(answers.takeoff, doing(answers), Measures(words_in("en")))

    assert tuple(words.replace("\N{NO-BREAK SPACE}", " ") for words in said) == (
        "Grinding off 26.0 sq ft of old coating",
        "Scraping and grinding off 60.0 sq ft of adhesive",
        "Filling 6.8 sq ft of hollows and holes",
        "The same floor on stairs, six steps",
        "Cleaning and filling 16 ft of joints",
        "Cutting 4 ft of joints through the floor and sealing them",
        "Nosings and edges of steps, 24 ft",
        "Finishing 12 ft of free edges",
    )


def test_what_nobody_does_is_not_said(answers):
    said = surveyed_words(
        answers.takeoff, doing(answers) - {"lay_stairs"}, Measures(words_in("en"))
    )

    assert not any("stairs" in words for words in said)


def test_it_is_said_in_spanish_too(answers):
    said = surveyed_words(
        answers.takeoff, doing(answers), Measures(words_in("es"), "metric")
    )

    assert "El mismo piso en escaleras, seis peldaños" in said


def test_a_plain_floor_says_nothing_of_it(demo_workup):
    measures = Measures(words_in("en"))

    assert surveyed_words(demo_workup.takeoff, doing(demo_workup), measures) == ()
    out = left_out_words(demo_workup.offer, demo_workup.work, measures.words)
    assert "taking up what lies on the slab" in out[0]
