"""How the command asks for its paper: language, size, units."""

from __future__ import annotations

import argparse

import pytest

from kit.cli.propose import _as_asked
from kit.errors import PaperError


def asked(**given: str | None) -> argparse.Namespace:
    return argparse.Namespace(**{"language": None, "paper": None, "units": None, **given})


def test_nothing_asked_leaves_the_job_as_its_sheet_says(demo_job):
    assert _as_asked(demo_job, asked()) is demo_job


def test_what_is_asked_for_stands_on_the_job(demo_job):
    job = _as_asked(demo_job, asked(language="es", paper="a4", units="metric"))
    assert (job.language, job.paper.page, job.paper.units) == ("es-US", "a4", "metric")


def test_a_language_that_is_not_spoken_is_refused_before_any_work(demo_job):
    with pytest.raises(PaperError, match="language: found tlh"):
        _as_asked(demo_job, asked(language="tlh"))


@pytest.fixture
def stands_in(demo_job, monkeypatch, tmp_path):
    """Pictures that need no kernels, and a book of its own."""
    from bands import Bands

    monkeypatch.setattr("kit.cli.propose.Pictures", lambda *_: Bands(demo_job))
    monkeypatch.setenv("KIT_BOOK_URL", str(tmp_path / "book.sqlite"))
    monkeypatch.setenv("KIT_MAIL", str(tmp_path / "mail.toml"))
    return tmp_path


@pytest.mark.paper
def test_the_command_writes_the_paper_and_a_draft_and_sends_once(
    stands_in, demo_sheet, monkeypatch, capsys
):
    from kit.cli import main

    out, draft = stands_in / "p.pdf", stands_in / "p.eml"
    ask = ["propose", str(demo_sheet), "--out", str(out), "--language", "es"]
    assert main([*ask, "--eml", str(draft)]) == 0
    assert out.read_bytes().startswith(b"%PDF")
    assert b"Un piso vertido para Slipway Pottery" in draft.read_bytes()

    assert main([*ask, "--send"]) != 0
    assert "mail settings" in capsys.readouterr().err

    (stands_in / "mail.toml").write_text('host = "mail.example"\n')
    sent = []
    monkeypatch.setattr(
        "kit.proposal.sending.send_kept.__kwdefaults__",
        {"again": False, "hand_over": lambda *given: sent.append(given)},
    )
    assert main([*ask, "--send"]) == 0
    assert "sent to ines@slipwaypottery.example as revision 1" in capsys.readouterr().out
    assert main([*ask, "--send"]) != 0
    assert "a paper that went to ines@" in capsys.readouterr().err
    assert len(sent) == 1
