"""Edges in a picture of a room fade over a pixel, however nearly level they run."""

from __future__ import annotations

import numpy as np
import pytest

from kit.look.aim import FINE, ray_at, spot_in
from kit.look.camera import camera_at
from kit.look.eye import look
from kit.look.room import solid_room
from kit.look.trace import hit

pytestmark = [pytest.mark.jit]

SIZE = (320, 200)
BRUTE = 24
"""Rays a side that tell a pixel's floor to about a hundredth."""


def test_a_level_or_upright_edge_fades_in_sixteen_steps():
    """What [Shirley1991] puts rooks for: within half a sixteenth of the area, both ways."""
    spots = np.array([spot_in(k) for k in range(FINE * FINE)])
    for axis in (0, 1):
        for edge in np.linspace(0.0, 1.0, 65):
            part = float((spots[:, axis] < edge).mean())
            assert abs(part - edge) <= 0.5 / FINE**2 + 1e-9


def test_no_edge_is_told_far_worse_than_others():
    """By root mean square over edges anywhere in the pixel; a square lattice has 0.061."""
    spots = np.array([spot_in(k) for k in range(FINE * FINE)]) - 0.5
    fine = (np.stack(np.divmod(np.arange(160 * 160), 160), axis=1) + 0.5) / 160 - 0.5
    away = np.linspace(-0.7, 0.7, 57)
    for turn in np.linspace(0.0, np.pi, 36, endpoint=False):
        way = np.array([np.cos(turn), np.sin(turn)])
        told = [((points @ way)[:, None] < away).mean(axis=0) for points in (spots, fine)]
        assert np.sqrt(np.square(told[0] - told[1]).mean()) < 0.04


def test_floor_at_a_walls_foot_is_told_to_a_sixteenth(ell):
    """Against a brute count of rays; a square lattice is an eighth off."""
    room = solid_room(ell, ell.largest_room)
    camera = camera_at(room.stands["room"], *SIZE)
    seen, row = look(room, camera, 1), camera.row()
    partly = np.flatnonzero(seen.cover < 1.0)[::7]
    steps = (np.arange(BRUTE) + 0.5) / BRUTE
    off = []
    for k in partly:
        down, over = divmod(int(seen.pixels[k]), SIZE[0])
        met = [
            hit(*row[:3], *ray_at(over + a, down + b, row), room.solids)[1]
            for a in steps
            for b in steps
        ]
        part = float(np.mean(np.array(met) == len(room.solids.walls)))
        off.append(abs(part - float(seen.cover[k])))
    assert len(off) > 20
    assert np.sqrt(np.square(off).mean()) < 0.03
