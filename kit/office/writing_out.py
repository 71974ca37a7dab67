"""Writing the configuration of an office to where it is to be changed and run."""

from __future__ import annotations

from pathlib import Path

from kit.errors import OutputError
from kit.shipped import shipped
from kit.writing import write_file


def write_office(folder: Path) -> tuple[Path, ...]:
    """Write the configuration and what is to be read before it is used.

    Parameters
    ----------
    folder : Path
        Made if it is not there.

    Returns
    -------
    tuple of Path
        The files.

    Raises
    ------
    OutputError
        If one of them is there already, for it may have been changed, or cannot be
        written.
    """
    there = shipped("demo_assets").joinpath("office")
    files = sorted(file for file in there.iterdir() if file.is_file())
    for file in files:
        if (folder / file.name).exists():
            raise OutputError(
                str(folder / file.name), found="it already", expected="another folder"
            )
    return tuple(write_file(folder / file.name, file.read_bytes()) for file in files)
