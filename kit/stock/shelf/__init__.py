"""The shelf: every table of the TOML files in this folder, as records.

A table is named by its kind and key, ``[finish.matte]``; which file it stands in
is for people only. To add a pigment, finish, extra, task or caution, add one table.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TypeVar

from kit.errors import ShelfError
from kit.record import Record, filled
from kit.stock.cancelling import CancelRule
from kit.stock.cautions import Caution
from kit.stock.cures import Cure
from kit.stock.dated import PriceBook
from kit.stock.extras import Extra
from kit.stock.house import Charge, CoatBuild, Equipment, House, Sundry, Task
from kit.stock.limits import DustControl, Limit
from kit.stock.records import Finish, Pigment, Product, Tint
from kit.stock.risks import Spread, Tie
from kit.stock.steps import Step
from kit.stock.tables import Table, read_tables
from kit.stock.terms import NO_REGION, DepositCap

KINDS = (
    *("pigment", "tint", "product", "finish", "coat"),
    *("task", "equipment", "sundry", "caution", "term", "extra", "house"),
    *("cure", "limit", "dust", "charge", "deposit", "cancel", "spread", "tie", "step"),
)

Kind = TypeVar("Kind", bound=Record)
Named = TypeVar(
    "Named",
    Pigment,
    Tint,
    Product,
    Finish,
    CoatBuild,
    Extra,
    Cure,
    Limit,
    Caution,
    DepositCap,
    Spread,
)


@dataclass(frozen=True)
class Shelf:
    """All that can be bought, done and said, in the order of the files."""

    pigments: tuple[Pigment, ...]
    tints: tuple[Tint, ...]
    products: tuple[Product, ...]
    finishes: tuple[Finish, ...]
    coats: tuple[CoatBuild, ...]
    tasks: tuple[Task, ...]
    equipment: tuple[Equipment, ...]
    sundries: tuple[Sundry, ...]
    cautions: tuple[Caution, ...]
    extras: tuple[Extra, ...]
    cures: tuple[Cure, ...]
    limits: tuple[Limit, ...]
    dust: tuple[DustControl, ...]
    steps: tuple[Step, ...]
    house: House
    book: PriceBook | None = None
    terms: tuple[Caution, ...] = ()
    charges: tuple[Charge, ...] = ()
    deposits: tuple[DepositCap, ...] = ()
    spreads: tuple[Spread, ...] = ()
    ties: tuple[Tie, ...] = ()
    cancelling: tuple[CancelRule, ...] = ()

    def pigment(self, key: str, *, about: str = "pigment") -> Pigment:
        """Pigment of that key, or a `ShelfError` that lists the choices."""
        return _named(self.pigments, key, about)

    def tint(self, key: str, *, about: str = "tint") -> Tint:
        """Seal-coat tint of that key, or a `ShelfError` that lists the choices."""
        return _named(self.tints, key, about)

    def product(self, key: str, *, about: str = "product") -> Product:
        """Resin product of that key, or a `ShelfError` that lists the choices."""
        return _named(self.products, key, about)

    def finish(self, key: str, *, about: str = "finish") -> Finish:
        """Finish of that key, or a `ShelfError` that lists the choices."""
        return _named(self.finishes, key, about)

    def coat(self, key: str, *, about: str = "coat") -> CoatBuild:
        """How the coat of that kind is laid, or a `ShelfError` that lists the choices."""
        return _named(self.coats, key, about)

    def cure(self, product: Product) -> Cure:
        """How that product hardens, or a `ShelfError` that lists the kinds known."""
        return _named(self.cures, product.kind, f"[cure], of {product.name}")

    def limit(self, key: str) -> Limit:
        """Common limit of that key, or a `ShelfError` that lists the choices."""
        return _named(self.limits, key, "[limit]")

    def caution(self, key: str) -> Caution:
        """Caution of that key, or a `ShelfError` that lists the choices."""
        return _named(self.cautions, key, "[caution]")

    def deposit(self, *, about: str = "house, region") -> DepositCap | None:
        """Rule of deposits of the house's region; None where it names none.

        Raises
        ------
        ShelfError
            If the region has no rule on the shelf, or one in another currency.
        """
        if self.house.region == NO_REGION:
            return None
        cap = _named(self.deposits, self.house.region, about)
        if cap.most is not None and cap.currency != self.house.currency:
            raise ShelfError(
                f"{about}, currency", found=self.house.currency, expected=cap.currency
            )
        return cap


def _named(kept: tuple[Named, ...], key: str, about: str) -> Named:
    for one in kept:
        if one.key == key:
            return one
    raise ShelfError(about, found=key, expected=_choices(one.key for one in kept))


def _choices(keys: Iterable[str]) -> str:
    return f"one of {', '.join(keys)}"


def read_shelf(folder: Traversable | None = None, *, book: Path | None = None) -> Shelf:
    """Read the shelf, with the owner's price book over it.

    Parameters
    ----------
    folder : folder, optional
        Of a shelf other than the one that came with the kit; over it lies no book
        but one that is named here.
    book : Path, optional
        Price book; else the one in use, see `kit.stock.pricebook.book_in_use`.

    Raises
    ------
    ShelfError
        If a table is missing, stands twice, has a wrong field, or names a product
        that is not on the shelf. The complaint names file, table and field, or the
        cell of the book.
    """
    # a book is laid over a shelf, so it cannot be at hand before there is one
    from kit.stock import pricebook

    shelf = _shipped() if folder is None else _read(folder)
    place = book or (pricebook.book_in_use() if folder is None else None)
    return shelf if place is None else pricebook.overlaid(shelf, place)


@cache
def _shipped() -> Shelf:
    return _read(files(__name__))


def _read(folder: Traversable) -> Shelf:
    tables = read_tables(folder, KINDS)
    houses = _records(tables, "house", House)
    if len(houses) != 1:
        raise ShelfError("[house]", found=f"{len(houses)} of them", expected="just one")
    shelf = Shelf(
        pigments=_records(tables, "pigment", Pigment),
        tints=_records(tables, "tint", Tint),
        products=_records(tables, "product", Product),
        finishes=_records(tables, "finish", Finish),
        coats=_records(tables, "coat", CoatBuild),
        tasks=_records(tables, "task", Task),
        equipment=_records(tables, "equipment", Equipment),
        sundries=_records(tables, "sundry", Sundry),
        cautions=_records(tables, "caution", Caution),
        extras=_records(tables, "extra", Extra),
        cures=_records(tables, "cure", Cure),
        limits=_records(tables, "limit", Limit),
        dust=_records(tables, "dust", DustControl),
        steps=_records(tables, "step", Step),
        house=houses[0],
        terms=_records(tables, "term", Caution),
        charges=_records(tables, "charge", Charge),
        deposits=_records(tables, "deposit", DepositCap),
        spreads=_records(tables, "spread", Spread),
        ties=_records(tables, "tie", Tie),
        cancelling=_records(tables, "cancel", CancelRule),
    )
    _check_links(shelf, tables)
    return shelf


def _records(tables: tuple[Table, ...], kind: str, record: type[Kind]) -> tuple[Kind, ...]:
    return tuple(
        filled(
            record, {**table.fields, "key": table.key}, where=table.where, family=ShelfError
        )
        for table in tables
        if table.kind == kind
    )


def _check_links(shelf: Shelf, tables: tuple[Table, ...]) -> None:
    """Whatever is laid is made of something that can be bought, and can be laid at all."""
    for kind in ("seal", "flood"):
        shelf.coat(kind, about="[coat]")
    shelf.deposit()
    _check_ties(shelf)
    for row, kind in (
        (shelf.pigments, "pigment"),
        (shelf.tints, "tint"),
        (shelf.finishes, "finish"),
    ):
        if not row:
            raise ShelfError(f"[{kind}]", found="none", expected="at least one to choose")
    _check_limits(shelf, tables)
    for table in tables:
        if table.kind in {"coat", "finish"}:
            shelf.product(table.fields["product"], about=f"{table.where}, product")
        if table.kind == "task" and table.fields.get("fills"):
            shelf.product(table.fields["fills"], about=f"{table.where}, fills")
        if table.kind == "extra":
            _check_extra(_named(shelf.extras, table.key, "extra"), shelf, table.where)


def _check_limits(shelf: Shelf, tables: tuple[Table, ...]) -> None:
    """Every product is known to harden, and limits and dust are of something there is."""
    for product in shelf.products:
        shelf.cure(product)
    limits, machines = ([one.key for one in row] for row in (shelf.limits, shelf.equipment))
    for table in tables:
        for key in table.fields.get("limits", ()) if table.kind == "product" else ():
            if key not in limits:
                where = f"{table.where}, limits"
                raise ShelfError(where, found=key, expected=_choices(limits))
        if table.kind == "dust" and table.key not in machines:
            raise ShelfError(table.where, found=table.key, expected=_choices(machines))


def _check_ties(shelf: Shelf) -> None:
    """A tie is of two spreads that there are, and no two are tied twice."""
    tied: dict[frozenset[str], str] = {}
    for tie in shelf.ties:
        where = f"[tie.{tie.key}], of"
        for key in tie.of:
            _named(shelf.spreads, key, where)
        pair = frozenset(tie.of)
        if len(pair) == 1:
            raise ShelfError(where, found=f"{tie.of[0]} twice", expected="two spreads")
        first = tied.setdefault(pair, tie.key)
        if first != tie.key:
            raise ShelfError(
                where, found=f"the same two as in [tie.{first}]", expected="one tie a pair"
            )


def _check_extra(extra: Extra, shelf: Shelf, where: str) -> None:
    """An extra adds something, and whatever it names is there."""
    if not extra.adds:
        raise ShelfError(
            where,
            found="nothing that it adds",
            expected="coats, base, tasks, sundries or allowance",
        )
    made_of = [coat.product for coat in extra.coats]
    for product in (*made_of, *([extra.base.product] if extra.base else [])):
        shelf.product(product, about=f"{where}, product")
    others = [other.key for other in shelf.extras if other is not extra]
    for field, keys, known in (
        ("not_with", extra.not_with, others),
        ("needs", extra.needs, others),
        ("given_by", extra.given_by, [finish.key for finish in shelf.finishes]),
        ("called_for_by", extra.called_for_by, [one.key for one in shelf.cautions]),
    ):
        for key in keys:
            if key not in known:
                raise ShelfError(f"{where}, {field}", found=key, expected=_choices(known))
