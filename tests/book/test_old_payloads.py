"""Jobs kept by earlier versions of the kit open for ever."""

import hashlib
from pathlib import Path

import pytest

from kit.book.payload import VERSION, Payload, opened, sealed

SAMPLES = sorted((Path(__file__).parent / "samples").glob("version_*.json"))


def _kept(sample: Path) -> Payload:
    text = sample.read_text(encoding="utf-8")
    number = int(sample.stem.removeprefix("version_"))
    return Payload(number, hashlib.sha256(text.encode()).hexdigest(), text)


def test_every_earlier_version_has_a_kept_sample():
    assert [_kept(s).version for s in SAMPLES] == list(range(1, VERSION))


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda s: s.stem)
def test_a_job_kept_by_an_earlier_version_opens_and_is_kept_again(sample):
    job = opened(_kept(sample), about="sample")
    assert job.site.rooms
    assert opened(sealed(job), about="again") == job
