"""What a finished PDF says: the text of its pages and every string in it.

Page text is glyph numbers in compressed streams, so a search of the bytes
proves nothing; it is read back through each font's own table to Unicode.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pikepdf

_RANGE = re.compile(r"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>")
_CHAR = re.compile(r"<([0-9A-Fa-f]+)>\s*<([0-9A-Fa-f]+)>")


def page_text(document: pikepdf.Pdf) -> str:
    """All text shown on the pages, a line for each piece that is set at once."""
    return "\n".join(line for page in document.pages for line in _lines(page.obj))


def every_string(document: pikepdf.Pdf) -> Iterator[str]:
    """Every text string of the file, and its descriptions, wherever they stand."""
    for thing in document.objects:
        yield from _strings(thing)
        if isinstance(thing, pikepdf.Stream) and thing.get("/Type") == "/Metadata":
            yield thing.read_bytes().decode("utf-8", "replace")
    yield from _strings(document.trailer)


def _lines(
    drawn: Any, *, within: frozenset[tuple[int, int]] = frozenset()
) -> Iterator[str]:
    """Text of a page, or of a form that is drawn on one, and of all forms in it."""
    resources: Any = drawn.get("/Resources", {})
    for form in resources.get("/XObject", {}).values():
        if form.get("/Subtype") == "/Form" and form.objgen not in within:
            yield from _lines(form, within=within | {form.objgen})
    fonts: Any = resources.get("/Font", {})
    tables = {name: _to_unicode(font) for name, font in fonts.items()}
    table: dict[int, str] = {}
    for instruction in pikepdf.parse_content_stream(drawn):
        operands: Any = instruction.operands
        match str(instruction.operator):
            case "Tf":
                table = tables.get(str(operands[0]), {})
            case "Tj":
                yield _decoded(bytes(operands[0]), table)
            case "TJ":
                shown = [
                    bytes(part) for part in operands[0] if isinstance(part, pikepdf.String)
                ]
                yield _decoded(b"".join(shown), table)
            case "BDC":
                if isinstance(operands[1], pikepdf.Dictionary):
                    yield from _strings(operands[1])
            case _:
                pass


def _decoded(codes: bytes, table: dict[int, str]) -> str:
    pairs = (int.from_bytes(codes[at : at + 2], "big") for at in range(0, len(codes), 2))
    return "".join(table.get(code, "\N{REPLACEMENT CHARACTER}") for code in pairs)


def _to_unicode(font: Any) -> dict[int, str]:
    if "/ToUnicode" not in font:
        return {}
    source = font.ToUnicode.read_bytes().decode("latin-1")
    table: dict[int, str] = {}
    for block in re.findall(r"beginbfrange(.*?)endbfrange", source, re.DOTALL):
        for first, last, start in _RANGE.findall(block):
            text = bytes.fromhex(start).decode("utf-16-be", "replace")
            for step, code in enumerate(range(int(first, 16), int(last, 16) + 1)):
                table[code] = text[:-1] + chr(ord(text[-1]) + step)
    for block in re.findall(r"beginbfchar(.*?)endbfchar", source, re.DOTALL):
        for code, text in _CHAR.findall(block):
            table[int(code, 16)] = bytes.fromhex(text).decode("utf-16-be", "replace")
    return table


def _strings(thing: Any) -> Iterator[str]:
    if isinstance(thing, pikepdf.String):
        yield str(thing)
    elif isinstance(thing, pikepdf.Array):
        for part in thing:
            yield from _own(part)
    elif isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
        for key in thing.keys():  # noqa: SIM118
            yield from _own(thing[key])


def _own(part: Any) -> Iterator[str]:
    if isinstance(part, pikepdf.Object) and not part.is_indirect:
        yield from _strings(part)
