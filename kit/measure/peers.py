"""Well-known work that the kit's stages are timed beside."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.measure.timing import Work

Frame = NDArray[np.uint8]
TRACED_PX = (240, 150)
"""Frame that is path traced; its cost grows with its pixels."""
TRACED_SAMPLES = 64
_DOWN, _OVER = 600, 960


def warped() -> Work:
    """One raster warp of the frame's three channels by scipy, bilinear."""
    from scipy.ndimage import map_coordinates

    down, over = np.mgrid[0:_DOWN, 0:_OVER].astype(np.float32)
    places = np.stack([down + 3 * np.sin(over / 50), over + 3 * np.sin(down / 40)])
    channels = np.random.default_rng(1).random((3, _DOWN, _OVER), dtype=np.float32)
    return lambda: [map_coordinates(c, places, order=1) for c in channels]


def remapped() -> Work:
    """One raster warp of the frame by OpenCV, bilinear."""
    import cv2  # type: ignore[import-not-found,unused-ignore]

    cv2.setNumThreads(1)
    down, over = np.mgrid[0:_DOWN, 0:_OVER].astype(np.float32)
    across, along = over + 3 * np.sin(down / 40), down + 3 * np.sin(over / 50)
    picture = np.random.default_rng(1).random((_DOWN, _OVER, 3), dtype=np.float32)
    return lambda: cv2.remap(picture, across, along, cv2.INTER_LINEAR)


def fielded() -> Work:
    """One finite stroke's drag at every place of the frame, by numpy, places moved."""
    north, east = np.mgrid[0:_DOWN, 0:_OVER].astype(np.float32) / np.float32(0.5 * _OVER)

    def drag() -> tuple[Any, Any]:
        left = np.maximum(np.float32(1.0) - east * east - north * north, np.float32(0.0))
        steep = np.float32(6.0) * (np.float32(0.1) * north - np.float32(0.2) * east)
        square = left * left
        return (
            east - square * (np.float32(0.1) * left - steep * north),
            north - square * (np.float32(0.2) * left + steep * east),
        )

    return drag


def as_png(rgb: Frame) -> Work:
    """PNG of a picture, (H, W, 3), by Pillow at compression level 1."""
    from PIL import Image

    picture = Image.fromarray(rgb)
    return lambda: picture.save(io.BytesIO(), "PNG", compress_level=1)


def multiplied(lanes: int, times: int) -> Work:
    """`A_LANE` multiply-adds for each of so many lanes, so many times over."""
    from kit.measure.arithmetic import multiply_and_add_often

    numbers = np.linspace(0.1, 0.9, lanes, dtype=np.float32)
    sums = np.empty_like(numbers)
    return lambda: multiply_and_add_often(numbers, sums, times)


def traced(rgb: Frame) -> Work:
    """Path tracing of a bare room with this picture for a floor, by Mitsuba 3.

    A window in one wall, rough plastic on the floor, seven bounces: fewer shapes than
    the kit's own room, so the peer is not made slower than it need be.
    """
    import mitsuba  # type: ignore[import-not-found,unused-ignore]

    mi: Any = mitsuba
    mi.set_variant("scalar_rgb")
    scene = mi.load_dict(_bare_room(mi, rgb))
    return lambda: mi.render(scene)


def _bare_room(mi: Any, rgb: Frame) -> dict[str, Any]:
    move, turn = mi.ScalarTransform4f().translate, mi.ScalarTransform4f().rotate
    plaster = {"type": "diffuse", "reflectance": {"type": "rgb", "value": 0.8}}
    floor = {
        "type": "roughplastic", "alpha": 0.1, "distribution": "ggx",
        "diffuse_reflectance": {
            "type": "bitmap", "bitmap": mi.Bitmap(rgb), "filter_type": "bilinear",
        },
    }  # fmt: skip
    wall = {"type": "rectangle", "bsdf": plaster}
    window = mi.ScalarTransform4f().scale([0.4, 0.4, 1.0])
    box = mi.ScalarTransform4f().scale([2.5, 4.0, 1.35])
    return {
        "type": "scene",
        "integrator": {"type": "path", "max_depth": 7},
        "floor": {"type": "rectangle", "bsdf": floor, "to_world": box @ move([0, 0, -1])},
        "ceiling": {**wall, "to_world": box @ move([0, 0, 1]) @ turn([1, 0, 0], 180)},
        "left": {**wall, "to_world": box @ move([-1, 0, 0]) @ turn([0, 1, 0], 90)},
        "right": {**wall, "to_world": box @ move([1, 0, 0]) @ turn([0, 1, 0], -90)},
        "far": {**wall, "to_world": box @ move([0, 1, 0]) @ turn([1, 0, 0], 90)},
        "near": {**wall, "to_world": box @ move([0, -1, 0]) @ turn([1, 0, 0], -90)},
        "window": {
            "type": "rectangle",
            "to_world": box @ move([0, 0.99, 0.1]) @ turn([1, 0, 0], 90) @ window,
            "emitter": {"type": "area", "radiance": {"type": "rgb", "value": 7.0}},
        },
        "sensor": {
            "type": "perspective", "fov": 65.0,
            "to_world": mi.ScalarTransform4f().look_at(
                origin=[0, -3.7, 0.3], target=[0, 0, -0.9], up=[0, 0, 1]
            ),
            "film": {"type": "hdrfilm", "width": TRACED_PX[0], "height": TRACED_PX[1]},
            "sampler": {"type": "independent", "sample_count": TRACED_SAMPLES},
        },
    }  # fmt: skip
