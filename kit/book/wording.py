"""Words that a person leaves with what is kept: plain, and of a reasonable length."""

from __future__ import annotations

from kit.errors import BookError
from kit.site.text import fault_in


def check_words(*given: tuple[str, str, int, bool]) -> None:
    """Refuse words that are too long or hold what no text should.

    Parameters
    ----------
    given : tuples of str, str, int, bool
        What it is called, its text, its most characters, whether it may have lines.

    Raises
    ------
    BookError
    """
    for about, text, most, lines in given:
        if len(text) > most:
            raise BookError(
                about, found=f"{len(text)} characters", expected=f"at most {most}"
            )
        if fault := fault_in(text, lines=lines):
            raise BookError(about, found=fault, expected="plain text")
