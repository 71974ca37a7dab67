"""Sizes as they are typed and shown at the table: in feet and inches, or in meters."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from kit.bench.positions import shown_position
from kit.job import Job
from kit.site.lengths import shown_length, typed_length
from kit.site.outline import Outline
from kit.units import M_PER_FT, feet_inches, meters, read_length

if TYPE_CHECKING:
    from kit.proposal.measures import Measures

Units = Literal["us", "metric"]


@dataclass(frozen=True)
class Sizes:
    """Lengths and areas in the units that the paper has too.

    Parameters
    ----------
    units : str
        ``us`` or ``metric``.
    """

    units: Units = "us"

    @classmethod
    def of(cls, job: Job) -> Sizes:
        """Those that a job is shown in."""
        return cls(job.paper.units)

    @property
    def is_metric(self) -> bool:
        """Whether meters are read."""
        return self.units == "metric"

    @property
    def measures(self) -> Measures:
        """How areas, and prices for them, are written: as the paper does in English."""
        from kit.proposal.catalogue import words_in
        from kit.proposal.measures import Measures

        return Measures(words_in("en"), self.units)

    def typed(self, text: object, *, about: str) -> str:
        """Read what was typed for a length; a bare number is feet, or meters.

        Raises
        ------
        SheetError
            If no length can be read.
        """
        return typed_length(text, about=about, bare="m" if self.is_metric else "ft")

    def kept(self, text: str) -> str:
        """Show a length that was written down: in feet as it was measured, or in meters."""
        return meters(read_length(text)) if self.is_metric else shown_length(text)

    def length(self, length_m: float) -> str:
        """Show a length that follows from others."""
        return meters(length_m, places=2) if self.is_metric else feet_inches(length_m)

    def position(self, length_m: float, outline: Outline) -> str:
        """Show how far along something stands, in a room measured in feet or in meters."""
        if self.is_metric:
            return meters(max(length_m, 0.0))
        return shown_position(length_m, outline)

    def gap(self, length_m: float) -> str:
        """Say a gap: centimeters, or inches below a foot.

        >>> Sizes().gap(0.2413), Sizes("metric").gap(0.2413)
        ('9½ in', '24.1 cm')
        """
        if self.is_metric:
            is_long = length_m >= 1.0
            return self.length(length_m) if is_long else _centimeters(length_m)
        if length_m >= M_PER_FT:
            return feet_inches(length_m)
        return f"{feet_inches(length_m).split('′ ')[1].removesuffix('″')} in"

    def area(self, area_m2: float) -> str:
        """Show an area with its unit, to a tenth."""
        return self.measures.area(area_m2).replace("\N{NO-BREAK SPACE}", " ")

    def figures(self) -> dict[str, object]:
        """What the page must know to write what it draws itself."""
        say = self.measures
        return {"metric": self.is_metric, "area": say.area_unit, "per_area": say.per_area}


def _centimeters(length_m: float) -> str:
    return f"{length_m * 100:.1f}".removesuffix(".0") + " cm"
