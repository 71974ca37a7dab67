"""The front door: what is not asked for is not loaded."""

import subprocess
import sys

import pytest

from kit.cli.front import VERBS, main

_HEAVY = {"numba", "numpy", "pydantic", "sqlalchemy", "shapely"}
_ASKED = f"""\
import sys
from kit.cli.front import _parser
_parser(["open"])
print(sorted({_HEAVY!r} & sys.modules.keys()))
"""


def test_the_table_is_begun_before_anything_large_is_loaded():
    """Its server starts meanwhile, and a person waits for both."""
    told = subprocess.run(
        [sys.executable, "-c", _ASKED], capture_output=True, text=True, check=True
    )
    assert told.stdout.strip() == "[]"


@pytest.mark.parametrize("words", [["--help"], ["nonsense"]])
def test_all_verbs_are_told_where_none_is_named(words, capsys):
    with pytest.raises(SystemExit):
        main(words)
    told = "".join(capsys.readouterr())
    assert all(verb in told for verb in VERBS)
