"""Room for the rows of a block, begun where the processor reads whole lines of memory."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from kit.kernels import kernel

_LINE = 16
"""Numbers of four bytes in a line of memory: one vector of the widest kind."""


@kernel()
def room_for(lanes: int) -> NDArray[np.float32]:
    """Make room for so many numbers, all zero, of which the first begins a line.

    Else every vector of 512 bits would lie across two lines and cost twice its reading.
    """
    room = np.zeros(lanes + _LINE, np.float32)
    past = (room.ctypes.data >> 2) & (_LINE - 1)
    first = (_LINE - past) & (_LINE - 1)
    return room[first : first + lanes]
