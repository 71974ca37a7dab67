"""The slab as it was surveyed: readings, cracks, joints, patches, what must come off it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field, model_validator

from kit.errors import SheetError
from kit.record import Record
from kit.site.places import Area, Length
from kit.site.readings import Reading
from kit.site.text import Line, Name, Note

RemovalKind = Literal["coating", "adhesive", "covering"]
"""Old paint or coating; glue, mastic or thin-set; tiles, carpet or sheet flooring."""

_CALLED_FOR: dict[str, str] = {
    "coating": "painted",
    "adhesive": "old_flooring",
    "covering": "old_flooring",
}
"""What a slab is said to have where a kind is taken off it."""


class Joint(Record):
    """A joint in the slab, by its length, and what becomes of it."""

    where: Line = ""
    kind: Literal["saw cut", "construction", "expansion"] = Field(
        default="saw cut", description="An expansion joint moves and must not be bridged."
    )
    length: Length
    treat: Literal["filled", "honored"] = Field(
        description="Filled and coated over, or cut through the floor and sealed."
    )
    width: Length = Field(default="1/8 in", description="Of the cut.")
    depth: Length = Field(default="1 in", description="To which it is filled.")


class Patch(Record):
    """A hollow, spall or hole to fill before the floor is coated."""

    where: Line = ""
    size: tuple[Length, Length] | None = Field(
        default=None, description="Length and width; or give its area."
    )
    area: Area | None = None
    depth: Length = Field(description="Mean depth to fill.")
    count: int = Field(default=1, ge=1, le=500, strict=True, description="Of such patches.")

    @model_validator(mode="after")
    def _one_extent(self) -> Patch:
        if (self.size is None) == (self.area is None):
            msg = 'either size = ["2\'", "3\'"] or area = "6 sq ft"'
            raise ValueError(msg)
        return self


class Removal(Record):
    """Something on the slab that must come off, by its area or in whole rooms."""

    kind: RemovalKind
    says: Line = Field(default="", description="What it is: black mastic, deck paint.")
    area: Area | None = None
    rooms: tuple[Name, ...] = Field(
        default=(), max_length=200, description="Rooms it covers from wall to wall."
    )

    @model_validator(mode="after")
    def _one_extent(self) -> Removal:
        if bool(self.rooms) == (self.area is not None):
            msg = 'either area = "120 sq ft" or rooms = ["Hall"]'
            raise ValueError(msg)
        return self


class Slab(Record):
    """What was seen and read of the slab."""

    below_grade: bool = False
    painted: bool = Field(default=False, description="Old paint or coating on it.")
    old_flooring: bool = Field(
        default=False, description="Tiles, sheet flooring or adhesive on it."
    )
    cracks: Length = Field(default="0 ft", description="Length of cracks to fill.")
    joints: tuple[Joint, ...] = Field(default=(), alias="joint", max_length=200)
    patches: tuple[Patch, ...] = Field(default=(), alias="patch", max_length=200)
    removals: tuple[Removal, ...] = Field(default=(), alias="removal", max_length=100)
    profile_csp: int | None = Field(
        default=None,
        ge=1,
        le=10,
        strict=True,
        description="Profile after preparation, by its ICRI chip.",
    )
    void_depth: Length | None = Field(
        default=None, description="Mean depth of its hollows, where it was measured."
    )
    readings: tuple[Reading, ...] = Field(default=(), alias="reading", max_length=200)
    thickness: Length | None = Field(default=None, description="Of the slab, if known.")
    notes: Note = ""

    @model_validator(mode="before")
    @classmethod
    def _what_comes_off_is_there(cls, given: Any) -> Any:
        """A slab that paint is taken off is a painted one, whoever forgot to say so."""
        if not isinstance(given, Mapping):
            return given
        filled = dict(given)
        removals = given.get("removal") or given.get("removals")
        for removal in removals if isinstance(removals, list | tuple) else ():
            is_table = isinstance(removal, Mapping)
            kind = removal.get("kind") if is_table else getattr(removal, "kind", None)
            field = _CALLED_FOR.get(kind) if isinstance(kind, str) else None
            if field and filled.setdefault(field, True) is False:
                raise SheetError(
                    f"slab, {field}",
                    found="false",
                    expected=f"true where {kind} is to be removed",
                )
        return filled

    @model_validator(mode="after")
    def _one_profile(self) -> Slab:
        if self.profile_csp is not None and self.void_depth is not None:
            raise SheetError(
                "slab, profile_csp",
                found="profile_csp and void_depth",
                expected="only one of the two",
            )
        return self
