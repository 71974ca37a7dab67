"""Empty fields to sign in: the typesetter makes none, so links that stand for them turn.

A template leaves ``link("field:client", box(..))`` where a field is to stand. The
typesetter places the link and ties it into the structure; here it becomes a signature
field, and its place in the structure a Form: ISO 32000-1, 12.7.4.5 and 14.8.4.5.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from io import BytesIO
from typing import Any

import pikepdf

from kit.errors import PaperError

SCHEME = "field:"
PRINTED = 4
HAS_FIELDS = 1
"""Bits of an annotation that is printed, and of a form that has fields to sign."""


def with_fields(pdf: bytes, told: Mapping[str, str]) -> bytes:
    """Turn the links that stand for fields into empty signature fields.

    Parameters
    ----------
    pdf : bytes
        As the typesetter made it.
    told : mapping of str to str
        What each field is for, by its name, to be read aloud.

    Returns
    -------
    bytes
        The same bytes for the same file; the file itself, if there is no field.

    Raises
    ------
    PaperError
        If the links in it are not those of the fields that are told of, one each.
    """
    if not told:
        return pdf
    with pikepdf.open(BytesIO(pdf)) as document:
        found = dict(_links(document))
        if found.keys() != told.keys():
            raise PaperError(
                "fields to sign", found=", ".join(found), expected=", ".join(told)
            )
        for name, link in found.items():
            _turn(document, link, name, told[name])
        document.Root.AcroForm = pikepdf.Dictionary(
            Fields=pikepdf.Array(found.values()), SigFlags=HAS_FIELDS
        )
        out = BytesIO()
        document.save(
            out,
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            deterministic_id=True,
        )
    return out.getvalue()


def is_empty_field(field: Any) -> bool:
    """Whether it is a field to sign in, not signed yet, that does nothing else."""
    return set(field.keys()) <= _KEYS and field.get("/FT") == "/Sig"


_KEYS = {
    *("/Type", "/Subtype", "/FT", "/T", "/TU", "/F", "/P", "/Rect", "/AP"),
    "/StructParent",
}


def _links(document: pikepdf.Pdf) -> Iterator[tuple[str, Any]]:
    for page in document.pages:
        annotations: Any = page.obj.get("/Annots", ())
        for place, link in enumerate(annotations):
            target = str(link.get("/A", {}).get("/URI", ""))
            if target.startswith(SCHEME):
                # a field is known by its number, which a link inside the page has not
                annotations[place] = field = document.make_indirect(link)
                field.P = page.obj
                yield target.removeprefix(SCHEME), field


def _turn(document: pikepdf.Pdf, link: Any, name: str, told: str) -> None:
    element = _owner(document.Root.StructTreeRoot.ParentTree, int(link.StructParent))
    element.S = pikepdf.Name.Form
    left, low, right, high = (float(at) for at in link.Rect)
    nothing = document.make_stream(
        b"",
        Type=pikepdf.Name.XObject,
        Subtype=pikepdf.Name.Form,
        BBox=[0, 0, right - left, high - low],
    )
    for key in ("/A", "/Border", "/Contents"):
        del link[key]
    link.Subtype, link.FT = pikepdf.Name.Widget, pikepdf.Name.Sig
    link.T, link.TU, link.F = name, told, PRINTED
    link.AP = pikepdf.Dictionary(N=nothing)
    # by itself and not in a list of one: where programs that judge seals look for it
    (element.K,) = element.K
    element.K.Obj = link


def _owner(tree: Any, number: int) -> Any:
    """What of the structure a number of the parent tree leads to."""
    for branch in tree.get("/Kids", ()):
        low, high = branch.Limits
        if low <= number <= high:
            return _owner(branch, number)
    pairs = tree.Nums
    return next(pairs[n + 1] for n in range(0, len(pairs), 2) if int(pairs[n]) == number)
