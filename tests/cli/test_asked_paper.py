"""How the command asks for its paper: language, size, units."""

from __future__ import annotations

import argparse
import hashlib

import pytest

from kit.cli.propose import _as_asked
from kit.errors import PaperError


def asked(**given: str | bool | None) -> argparse.Namespace:
    said = {"language": None, "paper": None, "units": None, "fields": False, **given}
    return argparse.Namespace(**said)


def test_nothing_asked_leaves_the_job_as_its_sheet_says(demo_job):
    assert _as_asked(demo_job, asked()) is demo_job


def test_what_is_asked_for_stands_on_the_job(demo_job):
    job = _as_asked(demo_job, asked(language="es", paper="a4", units="metric"))
    assert (job.language, job.paper.page, job.paper.units) == ("es-US", "a4", "metric")
    assert not job.paper.fields_to_sign
    assert _as_asked(demo_job, asked(fields=True)).paper.fields_to_sign


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
        "kit.cli.sending.send_kept.__kwdefaults__",
        {
            "cost": None,
            "unsealed": None,
            "again": False,
            "hand_over": lambda *given: sent.append(given),
        },
    )
    assert main([*ask, "--send"]) == 0
    assert "sent to ines@slipwaypottery.example as revision 1" in capsys.readouterr().out
    assert main([*ask, "--send"]) != 0
    assert "a paper that went to ines@" in capsys.readouterr().err
    assert len(sent) == 1


@pytest.mark.paper
def test_a_changed_paper_bears_the_next_number_and_what_changed(
    stands_in, demo_sheet, monkeypatch
):
    from kit.cli import main

    pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
    sheet, out = stands_in / "floor.toml", stands_in / "p.pdf"
    text = demo_sheet.read_text(encoding="utf-8")

    def proposed(text: str, *more: str) -> str:
        sheet.write_text(text, encoding="utf-8")
        assert main(["propose", str(sheet), "--out", str(out), *more]) == 0
        first, second, *_ = pypdf.PdfReader(out).pages
        return " ".join((first.extract_text() + second.extract_text()).split())

    changed = "Revision 2. Changed since the paper before: the finish and the price."
    assert "evision" not in proposed(text)
    glossy = text.replace('finish = "matte"', 'finish = "gloss"')
    said = proposed(glossy)
    assert changed in said
    assert "No. 2611-07, revision 2, November 25, 2026" in said
    assert "Revisión 2. Cambios" in proposed(glossy, "--language", "es")


@pytest.mark.paper
def test_the_command_seals_and_the_book_knows_the_sealed_file(
    stands_in, demo_sheet, monkeypatch, capsys
):
    pytest.importorskip("pyhanko", reason="pyHanko is not installed")
    from keys import made_key

    from kit.book import Book, facts_of
    from kit.cli import main

    key, out = made_key(stands_in / "firm.p12"), stands_in / "p.pdf"
    ask = ["propose", str(demo_sheet), "--out", str(out), "--fields", "--seal", str(key)]

    monkeypatch.setattr("sys.stdin.isatty", lambda: False, raising=False)
    assert main(ask) == 2
    assert "nobody at a terminal to ask" in capsys.readouterr().err
    monkeypatch.setenv("KIT_SEAL_PASSPHRASE", "wrong")
    assert main(ask) == 2
    assert "firm.p12, passphrase: found one that does not open" in capsys.readouterr().err
    assert not out.exists()

    monkeypatch.setenv("KIT_SEAL_PASSPHRASE", "kelp")
    assert main(ask) == 0
    assert out.read_bytes().count(b"/ByteRange") == 1
    with Book() as book:
        (entry,) = book.jobs()
        (noted,) = facts_of(book, entry.job_id)
    assert noted.fact.sha256 == hashlib.sha256(out.read_bytes()).hexdigest()


def test_the_passphrase_is_asked_for_where_somebody_sits(monkeypatch):
    from kit.cli.asking import ask_passphrase

    monkeypatch.delenv("KIT_SEAL_PASSPHRASE", raising=False)
    monkeypatch.setattr("sys.stdin", type("Terminal", (), {"isatty": lambda _: True})())
    monkeypatch.setattr("getpass.getpass", lambda words: f"after {words}")
    assert ask_passphrase("Passphrase: ") == "after Passphrase: "
