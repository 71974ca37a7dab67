"""What other typesetters are given to be timed beside the press: all of it, once."""

from __future__ import annotations

import pickle
import subprocess
import sys
from io import BytesIO

import pypdf
import pytest

from kit.measure.machine import absent
from kit.measure.plainpaper import (
    Rows,
    Shot,
    Words,
    cold_proposal,
    cold_weasyprint,
    in_reportlab,
    parts_of,
)
from kit.proposal import propose

pytestmark = pytest.mark.paper


def read(pdf: bytes) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages)


def test_peers_are_given_every_picture_and_every_word_once(full_view):
    parts = parts_of(full_view)

    shots = [part for part in parts if isinstance(part, Shot)]
    said = [part.said for part in parts if isinstance(part, Words)]
    rows = [part.rows for part in parts if isinstance(part, Rows)]
    assert len(shots) == 2 + 1 + 3 + 2  # cover, pour, chips, sheens
    assert said.count(full_view.title) == said.count(full_view.price.total) == 1
    payments = tuple((one.when, one.share, one.amount) for one in full_view.payments)
    assert payments in rows


@pytest.mark.skipif("reportlab" in absent(), reason="reportlab is not installed")
def test_reportlab_sets_what_it_is_given(full_view):
    said = read(in_reportlab(parts_of(full_view))())

    assert full_view.price.total in said
    assert "A sealed floor is slippery when wet." in said


def made_by(code: str, folder) -> bytes:
    """Run code whose last line makes a paper, and read that."""
    *lines, last = code.splitlines()
    kept = folder / "made.pdf"
    keeping = f"open({str(kept)!r}, 'wb').write({last})"
    subprocess.run([sys.executable, "-c", "\n".join([*lines, keeping])], check=True)
    return kept.read_bytes()


def test_a_cold_proposal_is_the_very_paper(full_view, tmp_path):
    assert made_by(cold_proposal(full_view, tmp_path), tmp_path) == propose(full_view)
    assert pickle.loads((tmp_path / "view.pickle").read_bytes()) == full_view


@pytest.mark.slow
@pytest.mark.skipif("weasyprint" in absent(), reason="weasyprint or its Pango is absent")
def test_weasyprint_sets_what_it_is_given(full_view, tmp_path):
    pdf = made_by(cold_weasyprint(parts_of(full_view), tmp_path), tmp_path)
    assert full_view.price.total in read(pdf)
