"""Others' ways to add the same strokes at the same places: C, jax, GLSL on a processor."""

from __future__ import annotations

import ctypes
import os
import subprocess
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kit.measure.timing import Work

Array = NDArray[np.float32]

STROKES, SIDES = 64, (512, 500)
"""Strokes that act at once, and places across and down: a thousand blocks of them."""
ACROSS_FT = 10.0
"""Places and strokes lie at random within a square so wide, each stroke 2 ft about."""
C_FLAGS = (
    "-O3",
    "-march=x86-64-v3",
    "-fno-math-errno",
    "-fno-trapping-math",
    "-shared",
    "-fPIC",
)
"""Not -ffast-math: a library linked so changes how all of the process rounds to zero."""

_C = """
void add(const float *restrict x, const float *restrict y, float *restrict sums, long n,
         const float *restrict r, long strokes) {
  float *restrict psi = sums, *restrict v0 = sums + n, *restrict v1 = sums + 2 * n;
  float *restrict g0 = sums + 3 * n, *restrict g1 = sums + 4 * n;
  float *restrict g2 = sums + 5 * n;
  for (long first = 0; first < n; first += 256) {
    for (long i = first; i < first + 256; i++)
      psi[i] = v0[i] = v1[i] = g0[i] = g1[i] = g2[i] = 0.0f;
    for (long k = 0; k < strokes; k++) {
      float per = r[6 * k], u = r[6 * k + 1], v = r[6 * k + 2], wide = r[6 * k + 5];
      float at_x = r[6 * k + 3], at_y = r[6 * k + 4];
#pragma GCC ivdep
      for (long i = first; i < first + 256; i++) {
        float px = (x[i] - at_x) * per, py = (y[i] - at_y) * per;
        float m = 1.0f - px * px - py * py;
        m = m > 0.0f ? m : 0.0f;
        float cross = u * py - v * px, square = m * m, turn = 6.0f * cross;
        float mu = m * u, mv = m * v, hx = 4.0f * cross * px, hy = 4.0f * cross * py;
        float steep = 6.0f * per * m;
        psi[i] += wide * cross * square * m;
        v0[i] += square * (mu - turn * py);
        v1[i] += square * (mv + turn * px);
        g0[i] += steep * (mv * py - mu * px + hx * py);
        g1[i] += steep * (py * (hy - 2.0f * mu) - m * cross);
        g2[i] += steep * (m * cross - px * (hx + 2.0f * mv));
      }
    }
  }
}
"""
_VERTEX = """
#version 330
in vec2 corner;
void main() { gl_Position = vec4(corner, 0.0, 1.0); }
"""
_FRAGMENT = """
#version 330
uniform sampler2D places;
uniform vec4 stroke[64];
uniform vec2 middle[64];
layout(location = 0) out vec4 some;
layout(location = 1) out vec4 others;
void main() {
  vec2 at = texelFetch(places, ivec2(gl_FragCoord.xy), 0).xy;
  float a = 0.0, b = 0.0, c = 0.0, d = 0.0, e = 0.0, f = 0.0;
  for (int k = 0; k < 64; k++) {
    float per = stroke[k].x, u = stroke[k].y, v = stroke[k].z, wide = stroke[k].w;
    float px = (at.x - middle[k].x) * per, py = (at.y - middle[k].y) * per;
    float m = max(0.0, 1.0 - px * px - py * py);
    float cross_ = u * py - v * px, square = m * m, turn = 6.0 * cross_;
    float mu = m * u, mv = m * v, hx = 4.0 * cross_ * px, hy = 4.0 * cross_ * py;
    float steep = 6.0 * per * m;
    a += wide * cross_ * square * m;
    b += square * (mu - turn * py);
    c += square * (mv + turn * px);
    d += steep * (mv * py - mu * px + hx * py);
    e += steep * (py * (hy - 2.0 * mu) - m * cross_);
    f += steep * (m * cross_ - px * (hx + 2.0 * mv));
  }
  some = vec4(a, b, c, d);
  others = vec4(e, f, 0.0, 0.0);
}
"""


class Everywhere:
    """So many strokes at so many places, without an index: every stroke at every place.

    Each way returns a work that gives the same six rows of K float32 numbers: stream
    function, velocity and its gradient, as `kit.pour.walk.add_stroke` adds them. A shader
    gives the two textures that hold them, four and two numbers a place.
    """

    def __init__(self) -> None:
        chance = np.random.default_rng(8)
        places = chance.uniform(0.0, ACROSS_FT, (2, SIDES[0] * SIDES[1]))
        self.x, self.y = places.astype(np.float32)
        self.records = np.empty((STROKES, 6), np.float32)
        self.records[:, 0], self.records[:, 5] = 0.5, 2.0
        self.records[:, 1:3] = chance.normal(0.0, 0.1, (STROKES, 2))
        self.records[:, 3:5] = chance.uniform(0.0, ACROSS_FT, (STROKES, 2))

    @property
    def _sums(self) -> Array:
        return np.zeros((6, self.x.size), np.float32)

    def added(self) -> Work:
        """Add them as the kit does, block by block."""
        from kit.measure.arithmetic import add_everywhere

        sums = self._sums

        def add() -> Array:
            add_everywhere(self.x, self.y, self.records, sums)
            return sums

        return add

    def in_c(self) -> Work | None:
        """Add them in plain C, block by block as the kit does; None where it is refused."""
        with TemporaryDirectory() as folder:
            code, library = Path(folder, "strokes.c"), Path(folder, "strokes.so")
            code.write_text(_C, encoding="utf-8")
            made = subprocess.run(
                ["cc", *C_FLAGS, "-o", library, code], capture_output=True, check=False
            )
            if made.returncode:
                return None
            strokes = ctypes.CDLL(os.fspath(library)).add
        sums = self._sums
        x, y, out, records = (
            ctypes.c_void_p(a.ctypes.data) for a in (self.x, self.y, sums, self.records)
        )
        many, strokes_ = ctypes.c_long(self.x.size), ctypes.c_long(STROKES)

        def add() -> Array:
            strokes(x, y, out, many, records, strokes_)
            return sums

        return add

    def in_jax(self) -> Work:
        """Add them by jax, a scan over strokes that all places take part in."""
        jax: Any = import_module("jax")
        jnp: Any = import_module("jax.numpy")

        def one(sums: Any, record: Any) -> tuple[Any, None]:
            per, u, v, x, y, wide = record
            px, py = (self.x - x) * per, (self.y - y) * per
            m = jnp.maximum(0.0, 1.0 - px * px - py * py)
            cross, square = u * py - v * px, m * m
            turn, mu, mv = 6.0 * cross, m * u, m * v
            hx, hy, steep = 4.0 * cross * px, 4.0 * cross * py, 6.0 * per * m
            return (
                sums[0] + wide * cross * square * m,
                sums[1] + square * (mu - turn * py),
                sums[2] + square * (mv + turn * px),
                sums[3] + steep * (mv * py - mu * px + hx * py),
                sums[4] + steep * (py * (hy - 2.0 * mu) - m * cross),
                sums[5] + steep * (m * cross - px * (hx + 2.0 * mv)),
            ), None

        none = (jnp.zeros(self.x.size, jnp.float32),) * 6
        scan = jax.jit(lambda records: jax.lax.scan(one, none, records)[0])
        return lambda: jax.block_until_ready(scan(self.records))

    def in_glsl(self) -> Work | None:
        """Add them in a shader that Mesa's llvmpipe runs on the processor; None without."""
        moderngl: Any = import_module("moderngl")

        try:
            screen = moderngl.create_standalone_context(backend="egl")
        except Exception:  # whatever the driver's loader raises: there is none
            return None
        if not screen.info["GL_RENDERER"].startswith("llvmpipe"):
            return None
        shader = screen.program(vertex_shader=_VERTEX, fragment_shader=_FRAGMENT)
        strokes = self.records[:, [0, 1, 2, 5]], self.records[:, 3:5]
        for name, columns in zip(("stroke", "middle"), strokes, strict=True):
            given: Any = shader[name]
            given.write(np.ascontiguousarray(columns).tobytes())
        both = np.stack([self.x, self.y], axis=1)
        places = screen.texture(SIDES, 2, both.tobytes(), dtype="f4")
        places.filter = (moderngl.NEAREST, moderngl.NEAREST)
        seen = [screen.texture(SIDES, 4, dtype="f4") for _ in range(2)]
        screen.framebuffer(seen).use()
        corners = screen.buffer(np.array([-1, -1, 3, -1, -1, 3], np.float32).tobytes())
        triangle = screen.vertex_array(shader, [(corners, "2f", "corner")])

        def add() -> Any:
            places.use(0)
            triangle.render(vertices=3)
            screen.finish()
            return seen

        return add
