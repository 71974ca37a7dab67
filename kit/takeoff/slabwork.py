"""What the slab asks for before it is coated: joints, patches, removal, take-up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kit.errors import Concern, SheetError
from kit.plan.floor import FloorPlan
from kit.site.places import read_area
from kit.site.sizes import checked_length
from kit.site.slab import Joint, Patch, Removal, RemovalKind, Slab
from kit.takeoff.profile import void_figure
from kit.takeoff.trail import Figure, spoken, summed
from kit.units import M_PER_IN, read_length

L_PER_M3 = 1000.0
DEEPEST_M = 0.3
LARGEST_M2 = 10_000.0
LONGEST_JOINT_M = 3000.0

REMOVALS: dict[RemovalKind, str] = {
    "coating": "Old coating to remove",
    "adhesive": "Adhesive to remove",
    "covering": "Old flooring to take up",
}
"""What each kind is called in a takeoff."""


@dataclass(frozen=True)
class SlabWork:
    """What the slab asks for before it is coated.

    Parameters
    ----------
    joints_filled_m, joints_honored_m : float
        Joints filled and coated over; joints cut through the floor and sealed. [m]
    filler_l : float
        Volume of the joints that are filled. [l]
    patches_m2, patches_l : float
        Hollows to fill, by area and by volume. [m², l]
    removal_m2 : mapping of str to float
        What must come off, by kind. [m²]
    void : Figure or None
        Mean depth of the hollows of a rough slab, which the lowest coat fills. [µm]
    concerns : tuple of Concern
    trail : tuple of Figure
    """

    joints_filled_m: float = 0.0
    joints_honored_m: float = 0.0
    filler_l: float = 0.0
    patches_m2: float = 0.0
    patches_l: float = 0.0
    removal_m2: Mapping[RemovalKind, float] = field(default_factory=dict)
    void: Figure | None = None
    concerns: tuple[Concern, ...] = ()
    trail: tuple[Figure, ...] = ()


def slab_work(slab: Slab, plan: FloorPlan) -> SlabWork:
    """Measure what a survey found.

    Raises
    ------
    SheetError
        If a size is absurd, or a removal names a room that is not there.
    """
    filled = [_joint(j, n) for n, j in enumerate(slab.joints, 1) if j.treat == "filled"]
    honored = [_joint(j, n) for n, j in enumerate(slab.joints, 1) if j.treat == "honored"]
    filler = [_filler(j, n) for n, j in enumerate(slab.joints, 1) if j.treat == "filled"]
    areas = [_patch(patch, number) for number, patch in enumerate(slab.patches, 1)]
    volumes = [
        _volume(area, patch, number)
        for number, (area, patch) in enumerate(zip(areas, slab.patches, strict=True), 1)
    ]
    removals = [_removal(kind, slab.removals, plan) for kind in REMOVALS]
    joints = summed("Joints to fill", "m", filled)
    kept = summed("Joints to honor", "m", honored)
    fills = summed("Joint filler", "l", filler)
    area = summed("Patches", "m²", areas)
    volume = summed("Patch mortar", "l", volumes)
    return SlabWork(
        joints_filled_m=float(joints.value),
        joints_honored_m=float(kept.value),
        filler_l=float(fills.value),
        patches_m2=float(area.value),
        patches_l=float(volume.value),
        removal_m2={
            kind: float(figure.value)
            for kind, figure in zip(REMOVALS, removals, strict=True)
        },
        void=void_figure(slab),
        concerns=_concerns(slab),
        trail=tuple(
            figure
            for figure in (joints, kept, fills, area, volume, *removals)
            if figure.parts
        ),
    )


def _called(about: str, where: str) -> str:
    return f"{about}, {where}" if where else about


def _joint(joint: Joint, number: int) -> Figure:
    name = _called(f"Joint {number}", joint.where)
    length_m = checked_length(
        joint.length, about=f"slab, joint {number}, length", most_m=LONGEST_JOINT_M
    )
    return Figure(name, length_m, "m", f"{joint.kind}, {joint.treat}")


def _filler(joint: Joint, number: int) -> Figure:
    about = f"slab, joint {number}"
    length_m = float(_joint(joint, number).value)
    width_m = checked_length(
        joint.width, about=f"{about}, width", least_m=0.0005, most_m=0.1
    )
    depth_m = checked_length(
        joint.depth, about=f"{about}, depth", least_m=0.001, most_m=DEEPEST_M
    )
    how = f"{spoken(length_m, 'm')} × {joint.width} × {joint.depth}"
    name = _called(f"Joint {number}", f"{joint.where} filler".strip())
    return Figure(name, length_m * width_m * depth_m * L_PER_M3, "l", how)


def _patch(patch: Patch, number: int) -> Figure:
    about = f"slab, patch {number}"
    times = f"{patch.count} × " if patch.count > 1 else ""
    if patch.size is not None:
        sides = [checked_length(side, about=f"{about}, size") for side in patch.size]
        area_m2, how = sides[0] * sides[1], f"{times}{patch.size[0]} × {patch.size[1]}"
    else:
        area_m2, how = _area_m2(patch.area, f"{about}, area"), f"{times}{patch.area}"
    name = _called(f"Patch {number}", patch.where)
    return Figure(name, patch.count * area_m2, "m²", how)


def _volume(area: Figure, patch: Patch, number: int) -> Figure:
    depth_m = checked_length(
        patch.depth, about=f"slab, patch {number}, depth", least_m=0.0005, most_m=DEEPEST_M
    )
    how = f"{area.spoken} × {patch.depth}"
    volume_l = float(area.value) * depth_m * L_PER_M3
    return Figure(f"{area.name} mortar", volume_l, "l", how, (area,))


def _area_m2(text: str | None, about: str) -> float:
    area_m2 = read_area(text, about=about)
    if not 1e-4 <= area_m2 <= LARGEST_M2:
        raise SheetError(about, found=text, expected="an area of up to 100,000 sq ft")
    return area_m2


def _removal(kind: RemovalKind, removals: tuple[Removal, ...], plan: FloorPlan) -> Figure:
    parts = []
    for number, removal in enumerate(removals, 1):
        if removal.kind != kind:
            continue
        about = f"slab, removal {number}"
        name = _called(f"Removal {number}", removal.says)
        if removal.area is not None:
            area_m2 = _area_m2(removal.area, f"{about}, area")
            parts.append(Figure(name, area_m2, "m²", "as surveyed"))
            continue
        parts += [
            Figure(f"{name}, {room}", _room_m2(room, plan, about), "m²", "the whole room")
            for room in removal.rooms
        ]
    return summed(REMOVALS[kind], "m²", parts)


def _room_m2(name: str, plan: FloorPlan, about: str) -> float:
    for room in plan.rooms:
        if room.name == name:
            return float(room.poured.area)
    there = ", ".join(room.name for room in plan.rooms)
    raise SheetError(f"{about}, rooms", found=name, expected=f"one of {there}")


def _concerns(slab: Slab) -> tuple[Concern, ...]:
    bridged = [
        joint.where or f"joint {number}"
        for number, joint in enumerate(slab.joints, 1)
        if joint.kind == "expansion" and joint.treat == "filled"
    ]
    deep = [
        patch.where or f"patch {number}"
        for number, patch in enumerate(slab.patches, 1)
        if read_length(patch.depth) > 2 * M_PER_IN
    ]
    concerns = []
    if bridged:
        concerns.append(
            Concern(
                "expansion joints",
                f"Coated over at {', '.join(bridged)}; what moves below cracks the floor.",
                "Honor them: cut through the floor and seal.",
            )
        )
    if deep:
        concerns.append(
            Concern(
                "deep patches",
                f"More than two inches at {', '.join(deep)}; resin that thick gets hot.",
                "Fill in lifts, or with a mortar made for the depth.",
            )
        )
    return tuple(concerns)
