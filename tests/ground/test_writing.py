"""Files appear whole or not at all."""

import os
from pathlib import Path

import pytest

from kit.errors import OutputError
from kit.writing import writable_folder, write_file, write_files


def test_a_file_is_replaced_whole(tmp_path):
    path = write_file(tmp_path / "new" / "a.txt", b"one")
    write_file(path, b"two")

    assert path.read_bytes() == b"two"
    assert [p.name for p in path.parent.iterdir()] == ["a.txt"]


def test_a_write_that_fails_half_way_leaves_the_old_file(tmp_path, monkeypatch):
    path = write_file(tmp_path / "a.txt", b"old")

    def full(_descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OutputError, match="No space left on device"):
        write_file(path, b"new")

    assert path.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"]


def test_a_folder_is_not_a_file(tmp_path):
    with pytest.raises(OutputError, match="found a folder"):
        write_file(tmp_path, b"x")


def test_a_file_in_the_way_of_a_folder_is_named(tmp_path):
    (tmp_path / "a").write_bytes(b"")

    with pytest.raises(OutputError, match="output folder"):
        writable_folder(tmp_path / "a" / "b")


def test_a_folder_in_the_place_of_one_file_keeps_all_of_them_from_being_written(tmp_path):
    (tmp_path / "b.txt").mkdir()
    with pytest.raises(OutputError, match=r"b\.txt"):
        write_files(tmp_path, {"a.txt": b"a", "b.txt": b"b"})

    assert [path.name for path in tmp_path.iterdir()] == ["b.txt"]


@pytest.mark.skipif(os.name != "posix", reason="modes are POSIX")
def test_a_file_for_its_owner_only_is_never_anybody_elses(tmp_path, monkeypatch):
    seen = []
    replace = Path.replace

    def watched(draft, there):
        seen.append(draft.stat().st_mode & 0o777)
        return replace(draft, there)

    monkeypatch.setattr(Path, "replace", watched)
    write_file(tmp_path / "secret", b"x", mode=0o600)

    assert seen == [0o600]
    assert (tmp_path / "secret").stat().st_mode & 0o777 == 0o600
