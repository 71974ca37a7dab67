"""The firm's seal: validated by pyHanko itself, with keys made here."""

from __future__ import annotations

import getpass
import socket
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from keys import DAY, FIRM, made_key

from kit.errors import PaperError
from kit.press.sealing import read_seal_key, sealed
from kit.proposal import propose

pytest.importorskip("pyhanko", reason="pyHanko is not installed")
pytestmark = pytest.mark.paper

LINES = (f"Sealed by {FIRM}", "November 25, 2026")


@pytest.fixture(scope="module")
def key(tmp_path_factory):
    return read_seal_key(made_key(tmp_path_factory.mktemp("key") / "firm.p12"), "kelp")


@pytest.fixture(scope="module")
def paper(full_view) -> bytes:
    return propose(replace(full_view, has_fields=True))


@pytest.fixture(scope="module")
def with_seal(paper, key) -> bytes:
    return sealed(paper, key, field="firm", lines=LINES)


def validated(pdf: bytes, *keys, which: int = 0):
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    trusted = ValidationContext(trust_roots=[k.signer.signing_cert for k in keys])
    reader = PdfFileReader(BytesIO(pdf))
    return validate_pdf_signature(reader.embedded_signatures[which], trusted)


def pdfua_errors(pdf: bytes, tmp_path) -> list[object]:
    pdfua = pytest.importorskip("pdfua", reason="pdfua is not installed")
    path = tmp_path / "sealed.pdf"
    path.write_bytes(pdf)
    found = pdfua.validate(str(path)).findings
    return [one for one in found if one.severity is pdfua.Severity.ERROR]


def test_pyhanko_finds_the_seal_whole_over_the_whole_file(with_seal, key):
    from pyhanko.sign.validation.status import SignatureCoverageLevel

    status = validated(with_seal, key)
    assert status.bottom_line
    assert status.coverage is SignatureCoverageLevel.ENTIRE_FILE
    assert status.signing_cert.subject.native["common_name"] == FIRM


def test_a_seal_of_somebody_else_is_not_taken_for_the_firm_s(with_seal, tmp_path):
    other = read_seal_key(made_key(tmp_path / "other.p12"), "kelp")
    assert not validated(with_seal, other).bottom_line


def test_the_seal_leaves_open_what_is_to_be_signed_and_nothing_else(with_seal):
    from pyhanko.pdf_utils.reader import PdfFileReader
    from pyhanko.sign.fields import MDPPerm

    (seal,) = PdfFileReader(BytesIO(with_seal)).embedded_signatures
    assert seal.docmdp_level is MDPPerm.FILL_FORMS


def test_not_a_byte_of_the_paper_is_touched(with_seal, paper):
    assert with_seal.startswith(paper)


def test_a_byte_changed_afterwards_breaks_it(with_seal, paper, key):
    at = paper.index(b"\xff\xda") + 400  # amid the pixels of a picture
    spoilt = with_seal[:at] + bytes([with_seal[at] ^ 1]) + with_seal[at + 1 :]
    assert not validated(spoilt, key).intact


def test_the_seal_says_whose_it_is_in_type_that_is_in_the_file(with_seal, tmp_path):
    with pikepdf.open(BytesIO(with_seal)) as document:
        field = next(f for f in document.Root.AcroForm.Fields if f.T == "firm")
        assert field.V.SubFilter == "/adbe.pkcs7.detached"
        faces = list(fonts_in(field.AP.N))
        assert faces
        for font in faces:
            described = font.DescendantFonts[0].FontDescriptor
            assert "/FontFile2" in described or "/FontFile3" in described
        empty = next(f for f in document.Root.AcroForm.Fields if f.T == "client")
        assert "/V" not in empty
    assert pdfua_errors(with_seal, tmp_path) == []


def fonts_in(form):
    resources = form.get("/Resources", {})
    yield from resources.get("/Font", {}).values()
    for inner in resources.get("/XObject", {}).values():
        yield from fonts_in(inner)


def test_the_client_may_still_sign_and_the_seal_stays_whole(with_seal, key, tmp_path):
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign import PdfSignatureMetadata, sign_pdf

    client = read_seal_key(made_key(tmp_path / "c.p12", name="Ines Quarrie"), "kelp")
    out = sign_pdf(
        IncrementalPdfFileWriter(BytesIO(with_seal)),
        PdfSignatureMetadata(field_name="client"),
        signer=client.signer,
        existing_fields_only=True,
    ).getvalue()
    assert validated(out, key, client).bottom_line
    assert validated(out, key, client, which=1).bottom_line


def test_a_paper_without_fields_is_sealed_unseen(pressed, key, tmp_path):
    out = sealed(pressed, key, field="firm", lines=LINES)
    assert validated(out, key).bottom_line
    assert pdfua_errors(out, tmp_path) == []
    with pikepdf.open(BytesIO(out)) as document:
        (field,) = document.Root.AcroForm.Fields
        assert [float(at) for at in field.Rect] == [0, 0, 0, 0]


def test_the_seal_leaves_no_trace_of_the_machine(with_seal, paper):
    added = with_seal[len(paper) :]
    for trace in (str(Path.home()), getpass.getuser(), socket.gethostname(), "/tmp"):
        assert len(trace) < 4 or trace.encode() not in added


# ---- keys that will not do


def test_another_passphrase_is_told_and_not_repeated(tmp_path):
    made_key(tmp_path / "firm.p12")
    with pytest.raises(PaperError, match=r"firm\.p12, passphrase: found one") as caught:
        read_seal_key(tmp_path / "firm.p12", "wrong-word")
    assert "wrong-word" not in str(caught.value)
    with pytest.raises(PaperError, match="passphrase: found none"):
        read_seal_key(tmp_path / "firm.p12", "")


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"ends": -DAY, "begins": -9 * DAY}, "certificate: found one that ran out on 20"),
        ({"begins": 2 * DAY}, "found one that begins on 20"),
        ({"signs": False}, "certificate: found one for key cert sign"),
    ],
)
def test_a_certificate_that_will_not_do_is_told(tmp_path, given, told):
    made_key(tmp_path / "firm.p12", **given)
    with pytest.raises(PaperError, match=told):
        read_seal_key(tmp_path / "firm.p12", "kelp")


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7", b"0" * 300_000, None])
def test_a_file_that_is_no_key_is_told(tmp_path, content):
    place = tmp_path / "firm.p12"
    if content is not None:
        place.write_bytes(content)
    with pytest.raises(PaperError, match=r"seal key firm\.p12: found"):
        read_seal_key(place, "kelp")


def test_a_key_file_without_a_key_is_told(tmp_path):
    from cryptography.hazmat.primitives.serialization import NoEncryption, pkcs12

    key = read_seal_key(made_key(tmp_path / "firm.p12"), "kelp")
    from cryptography import x509

    only = x509.load_der_x509_certificate(key.signer.signing_cert.dump())
    place = tmp_path / "bare.p12"
    place.write_bytes(
        pkcs12.serialize_key_and_certificates(b"", None, only, None, NoEncryption())
    )
    with pytest.raises(PaperError, match="no key in it"):
        read_seal_key(place, "")


def test_without_pyhanko_it_says_what_to_install(tmp_path, monkeypatch):
    import sys

    monkeypatch.setitem(sys.modules, "pyhanko", None)
    with pytest.raises(PaperError, match=r'pip install "pourtable\[seal\]"'):
        read_seal_key(tmp_path / "firm.p12", "kelp")
