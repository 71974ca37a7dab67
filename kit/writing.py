"""Files appear whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from pathlib import Path

from kit.errors import OutputError


def write_file(
    path: Path, content: bytes | Iterable[bytes], *, mode: int | None = None
) -> Path:
    """Write `content` to `path` whole, replacing what was there, or not at all.

    Parameters
    ----------
    content : bytes, or pieces of bytes
        Pieces are written as they come; if one cannot be made, nothing is left.
    mode : int, optional
        Who may read and write it, from its first byte; the user's usual by default.

    Raises
    ------
    OutputError
        If the folder or file cannot be written; the old file then still stands.
    """
    folder = writable_folder(path.parent)
    half = None
    try:
        _refuse_a_folder(path)
        with tempfile.NamedTemporaryFile(dir=folder, prefix=".", delete=False) as draft:
            half = Path(draft.name)
            for piece in (content,) if isinstance(content, bytes) else content:
                draft.write(piece)
            draft.flush()
            os.fsync(draft.fileno())
        # a draft is its owner's only until here, whatever it is to be
        half.chmod(0o666 & ~_umask() if mode is None else mode)
        half.replace(path)
    except OSError as error:
        raise OutputError(
            f"output file {path}",
            found=_reason(error),
            expected="a place that can be written",
        ) from None
    finally:
        if half is not None:
            half.unlink(missing_ok=True)
    return path


def write_files(folder: Path, contents: dict[str, bytes]) -> Path:
    """Write several files into one folder by name, all of them or none.

    Raises
    ------
    OutputError
        If the folder or a file cannot be written; old files then still stand.
    """
    writable_folder(folder)
    try:
        with tempfile.TemporaryDirectory(dir=folder, prefix=".") as draft:
            for name, content in contents.items():
                _refuse_a_folder(folder / name)
                write_file(Path(draft) / name, content)
            for name in contents:
                (Path(draft) / name).replace(folder / name)
    except OSError as error:
        raise OutputError(
            f"output folder {folder}",
            found=_reason(error),
            expected="a folder that can be written",
        ) from None
    return folder


def writable_folder(folder: Path) -> Path:
    """Make `folder` if it is missing, and make sure that files can be put in it.

    Raises
    ------
    OutputError
        If it cannot be made or written.
    """
    about = f"output folder {folder}"
    blocked = next((place for place in (folder, *folder.parents) if place.is_file()), None)
    if blocked is not None:
        raise OutputError(about, found=f"a file named {blocked.name}", expected="a folder")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except (OSError, ValueError) as error:
        raise OutputError(
            about,
            found=_reason(error),
            expected="a folder that can be written",
        ) from None
    return folder


def _refuse_a_folder(path: Path) -> None:
    if path.is_dir():
        raise OutputError(f"output file {path}", found="a folder", expected="a file name")


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _reason(error: Exception) -> str:
    return getattr(error, "strerror", None) or str(error)
