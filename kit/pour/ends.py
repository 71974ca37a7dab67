"""The ends of walls, past which the film is let go of little by little.

A film that was held along a wall up to its end and then at once no more would have its
slopes jump on the line that leaves the end square to the wall: what is drawn by slopes
would show it as a seam, and a step by a velocity's slope would tear it.
"""

from __future__ import annotations

from typing import Any

from kit.kernels import kernel
from kit.pour.noise import F

PAST_FT, FARTHER_FT = F(1.2), F(0.4)
"""How far past a wall's end it still holds the film, less and less, and how much farther
out it then seems to end: a third of that. [ft]"""
AT_ONCE_FT = F(1e-4)
"""The same for what is round, and has no end. [ft]"""


@kernel(forceinline=True)
def let_go(past: Any, over: Any) -> Any:
    """How far off along a wall the film counts as, past its end; its slope and bend.

    Nothing before the end, and no more than a bend; from `over` on as far as from an end
    a third of that farther out.
    """
    z = min(max(past * (F(1) / over), F(0)), F(1))
    off = over * z * z * (F(1) - F(1 / 3) * z) + max(past - over, F(0))
    return off, z * (F(2) - z), F(2) / over * (F(1) - z)


@kernel(forceinline=True)
def past_ends(along: Any, length: Any, over: Any) -> Any:
    """`let_go` of a place so far along a wall; before its start, off and bend are negative.

    So off and run, off and bend have the signs of a way along the wall.
    """
    is_before = along < F(0)
    off, run, bend = let_go(-along if is_before else along - length, over)
    return (-off if is_before else off), run, (-bend if is_before else bend)
