"""Faults are told in words and written down, never swallowed."""

from kit.bench.faults import Faults
from kit.errors import MeasureError


def test_a_foreseen_fault_is_told_in_its_own_line(tmp_path):
    said = []
    faults = Faults(said.append, tmp_path)
    faults.guarded(_measure)()

    assert said == ["Room: 0. Needed: a size."]
    assert not faults.path.exists()


def test_an_unforeseen_fault_is_told_without_a_trace_and_logged_with_one(tmp_path):
    said = []
    faults = Faults(said.append, tmp_path / "logs")
    faults.guarded(_divide)(0)

    assert len(said) == 1
    assert "Traceback" not in said[0]
    assert str(faults.path) in said[0]
    log = faults.path.read_text("utf-8")
    assert "ZeroDivisionError" in log
    assert "_divide" in log


def test_where_nothing_can_be_written_that_is_told_too(tmp_path):
    (tmp_path / "logs").write_text("a file stands in the way")
    said = []
    Faults(said.append, tmp_path / "logs").guarded(_divide)(0)

    assert "could not be written down" in said[0]


def _measure():
    raise MeasureError("room", found=0, expected="a size")


def _divide(by):
    return 1 / by
