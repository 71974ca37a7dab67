"""The kit's room rebuilt for Mitsuba from plain shapes: same faces, colours, lights, eye.

Nothing of the kit's light is used here: only where faces lie, what colour they
are, how bright window, lamps and the opening behind the eye are.
"""

from __future__ import annotations

import math

import numpy as np

from kit.look.direct import FILL_DAY, FILL_EVENING, globe_light, lamp_light
from kit.look.faces import Side, _sides
from kit.look.flakes import FLAKE_ALPHA
from kit.look.outdoors import outside
from kit.look.skins import PANE, PLAIN, albedo, glass
from kit.look.things import OPAL

GRAIN_M = 0.025
"""Width of a texel of the twin's pictures on faces."""


def shapes(mi, room, floor, evening):
    """Everything of the room, as a dictionary Mitsuba loads; see `scene`."""
    solids = room.solids
    made = {}
    walls = len(solids.walls)
    sides = list(_sides(solids, room.outline.bounds))
    for face, side in enumerate(sides):
        kind = int(room.skins[face, 0])
        if face < walls:
            for k, (low, high) in enumerate(_around_windows(room, face)):
                made[f"wall{face}_{k}"] = _panel(mi, room, face, side, low, high)
        elif face == walls:
            made |= floor if "film" in floor else {"f": {**_flat(mi, side), "bsdf": floor}}
        elif kind == PANE:
            made[f"pane{face}"] = _pane(mi, room, face, side, evening)
        elif not side.radius:
            made[f"face{face}"] = _panel(mi, room, face, side, (0, 0), (1, 1))
    _drums(mi, room, made)
    _lights(mi, room, evening, made)
    return made


def scene(mi, room, camera, floor, *, evening=False, samples=64, depth=14):
    """The whole scene with the kit's own eye; `floor` is a BSDF or what `layered` makes."""
    whole = {"type": "scene", **shapes(mi, room, floor, evening)}
    whole["integrator"] = {"type": "path", "max_depth": depth, "rr_depth": 8}
    ahead = np.array([*camera.ahead, 0.0])
    eye = np.array([camera.x, camera.y, camera.z])
    whole["sensor"] = {
        "type": "perspective",
        "fov_axis": "x",
        "fov": 2.0 * math.degrees(math.atan(camera.half_wide)),
        "principal_point_offset_y": camera.shift,
        "near_clip": 0.01,
        "to_world": mi.ScalarTransform4f().look_at(
            origin=eye.tolist(), target=(eye + ahead).tolist(), up=[0, 0, 1]
        ),
        "film": {
            "type": "hdrfilm", "width": camera.width_px, "height": camera.height_px,
            "rfilter": {"type": "box"}, "pixel_format": "rgb",
            "component_format": "float32",
        },
        "sampler": {"type": "independent", "sample_count": samples},
    }  # fmt: skip
    return mi.load_dict(whole)


def rendered(mi, *given, seed=1, **how):
    """Linear light (H, W, 3)."""
    return np.array(mi.render(scene(mi, *given, **how), seed=seed))[..., :3]


def _flat(mi, side):
    """A rectangle from corner and sides."""
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 2] = side.along / 2, side.up / 2, side.normal
    matrix[:3, 3] = side.corner + side.along / 2 + side.up / 2
    return {"type": "rectangle", "to_world": mi.ScalarTransform4f(matrix.tolist())}


def _picture(mi, value, wide_m, high_m):
    """A texture of value(u, v) over a face."""
    across, up = (int(np.clip(round(m / GRAIN_M), 1, 900)) for m in (wide_m, high_m))
    data = np.empty((up, across, 3), dtype=np.float32)
    for j in range(up):
        for i in range(across):
            data[j, i] = value((i + 0.5) / across, (j + 0.5) / up)
    return {
        "type": "bitmap", "bitmap": mi.Bitmap(data), "raw": True,
        "filter_type": "bilinear", "wrap_mode": "clamp",
    }  # fmt: skip


def _matt(colour):
    return {"type": "twosided", "bsdf": {"type": "diffuse", "reflectance": colour}}


def _panel(mi, room, face, side, low, high):
    """Part of a face, from low to high in its own [0, 1]², in its colours."""
    (u0, v0), (u1, v1) = low, high
    part = Side(
        side.corner + u0 * side.along + v0 * side.up,
        (u1 - u0) * side.along, (v1 - v0) * side.up, side.normal,
    )  # fmt: skip
    if int(room.skins[face, 0]) == PLAIN:
        colour = {"type": "rgb", "value": room.skins[face, 1:4].tolist()}
    else:
        colour = _picture(
            mi,
            lambda u, v: albedo(
                face, u0 + u * (u1 - u0), v0 + v * (v1 - v0), room.skins, room.doors,
                room.solids.windows,
            ),
            np.linalg.norm(part.along), np.linalg.norm(part.up),
        )  # fmt: skip
    return {**_flat(mi, part), "bsdf": _matt(colour)}


def _around_windows(room, wall):
    """Cut a wall into panels around its windows and doors: pairs of corners in [0, 1]²."""
    length, height = room.solids.walls[wall, 4], room.solids.height
    at = 0.0
    recesses = [*room.solids.windows.tolist(), *room.solids.doorways[:, :6].tolist()]
    for window in sorted(row for row in recesses if int(row[0]) == wall):
        low, high = window[1] / length, window[2] / length
        yield (at, 0.0), (low, 1.0)
        yield (low, 0.0), (high, window[3] / height)
        yield (low, window[4] / height), (high, 1.0)
        at = high
    yield (at, 0.0), (1.0, 1.0)


def _pane(mi, room, face, side, evening):
    wide, high = room.skins[face, 4:6]

    def shine(u, v):
        clear = glass(u, v, wide, high) > 0.5
        return outside(u, v, wide, high, evening) if clear else (0.0, 0.0, 0.0)

    def frame(u, v):
        return albedo(face, u, v, room.skins, room.doors, room.solids.windows)

    return {
        **_flat(mi, side), "bsdf": _matt(_picture(mi, frame, wide, high)),
        "emitter": {"type": "area", "radiance": _picture(mi, shine, wide, high)},
    }  # fmt: skip


def _drums(mi, room, made):
    first = len(room.solids.walls) + 2 + 6 * len(room.solids.boxes)
    for k, (x, y, radius, foot, top) in enumerate(room.solids.drums):
        colour = {"type": "rgb", "value": room.skins[first + 3 * k, 1:4].tolist()}
        made[f"drum{k}"] = {
            "type": "cylinder", "p0": [x, y, foot], "p1": [x, y, top], "radius": radius,
            "bsdf": _matt(colour),
        }  # fmt: skip


def _lights(mi, room, evening, made):
    """Soft openings behind the eye, and lamps when it is dark."""
    paint = {"type": "rgb", "value": room.skins[0, 1:4].tolist()}
    shine = list(FILL_EVENING if evening else FILL_DAY)
    for k, (corner, wide, high, inward) in enumerate(room.fill):
        side = Side(corner, wide, high, inward)
        made[f"fill{k}"] = {
            **_flat(mi, side), "bsdf": _matt(paint),
            "emitter": {"type": "area", "radiance": {"type": "rgb", "value": shine}},
        }  # fmt: skip
    for k, (x, y, z, radius) in enumerate(room.solids.globes):
        made[f"globe{k}"] = {
            "type": "sphere", "center": [x, y, z], "radius": radius,
            "bsdf": _matt({"type": "rgb", "value": list(OPAL)}),
        }  # fmt: skip
        if len(room.globes_lit(evening)):
            shine = {"type": "rgb", "value": globe_light().tolist()}
            made[f"globe{k}"]["emitter"] = {"type": "area", "radiance": shine}
    if not len(room.lamps_lit(evening)):
        return
    glow = lamp_light(evening).tolist()
    down = mi.ScalarTransform4f().rotate([1, 0, 0], 180.0)
    for k, (x, y, z, radius) in enumerate(room.lamps):
        made[f"lamp{k}"] = {
            "type": "disk",
            "to_world": mi.ScalarTransform4f().translate([x, y, z - 0.01])
            @ down @ mi.ScalarTransform4f().scale(float(radius)),
            "bsdf": _matt({"type": "rgb", "value": [0.5, 0.5, 0.5]}),
            "emitter": {"type": "area", "radiance": {"type": "rgb", "value": glow}},
        }  # fmt: skip


def under_a_coat(colour, alpha, index):
    """A matt film under a rough coat, Mitsuba's own model of it."""
    return {
        "type": "roughplastic", "distribution": "ggx", "alpha": alpha, "int_ior": index,
        "ext_ior": 1.0, "nonlinear": True,
        "diffuse_reflectance": {"type": "rgb", "value": list(colour)},
    }  # fmt: skip


def in_a_furnace(mi, floor, rise, samples=600):
    """What an even white sky makes of a floor, by path tracing."""
    eye = [3.0 * math.sqrt(1.0 - rise * rise), 0.0, 3.0 * rise]
    scene = mi.load_dict({
        "type": "scene", "sky": {"type": "constant"}, **floor,
        "integrator": {"type": "path", "max_depth": 40, "rr_depth": 20},
        "sensor": {
            "type": "perspective", "fov": 0.5,
            "to_world": mi.ScalarTransform4f().look_at(eye, [0, 0, 0], [0, 1, 0]),
            "film": {"type": "hdrfilm", "width": 8, "height": 8, "pixel_format": "rgb",
                     "rfilter": {"type": "box"}},
            "sampler": {"type": "independent", "sample_count": samples},
        },
    })  # fmt: skip
    return float(np.array(mi.render(scene, seed=2)).mean())


def layered(mi, bounds, alpha, index, colour, flakes, cover):
    """The same as two real layers: a coat and, a millimetre below, film and flakes.

    `cover` of the film is a rough mirror of colour `flakes`, the rest is matt.
    """
    west, south, east, north = bounds
    smooth = {"type": "dielectric", "int_ior": index, "ext_ior": 1.0}
    rough = {**smooth, "type": "roughdielectric", "distribution": "ggx", "alpha": alpha}
    matt = {"type": "diffuse", "reflectance": {"type": "rgb", "value": list(colour)}}
    mirror = {
        "type": "roughconductor", "distribution": "ggx", "alpha": FLAKE_ALPHA,
        "material": "none",
        "specular_reflectance": {"type": "rgb", "value": list(flakes)},
    }  # fmt: skip
    film = {"type": "blendbsdf", "weight": cover, "matt": matt, "mirror": mirror}
    size = mi.ScalarTransform4f().scale([(east - west) / 2, (north - south) / 2, 1.0])
    middle = [(west + east) / 2, (south + north) / 2]
    return {
        name: {
            "type": "rectangle", "bsdf": bsdf,
            "to_world": mi.ScalarTransform4f().translate([*middle, z]) @ size,
        }
        for name, z, bsdf in (
            ("coat", 0.0, rough if alpha > 0.0 else smooth), ("film", -0.001, film),
        )
    }  # fmt: skip
