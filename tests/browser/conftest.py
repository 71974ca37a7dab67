"""The table of the demo, served and opened once for each file of tests."""

import pytest
from browsing import opened


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    """The table of the demo in a browser."""
    with opened(tmp_path_factory.mktemp("book")) as table:
        yield table
