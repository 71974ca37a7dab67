"""What every motion of the trowel is, and the two things one can leave in the film."""

from __future__ import annotations

from abc import abstractmethod
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

import numpy as np
from numpy.typing import NDArray

from kit.record import Record

if TYPE_CHECKING:
    from kit.pour.ground import Ground


@dataclass(frozen=True)
class Strokes:
    """Strokes of one pass that act together while each walks its own path.

    The film about each centre is dragged along with it: stream function
    ``(u x q) (1 - |q|^2 / R^2)^3`` within the radius R, nothing outside, so
    area, and with it pigment, is kept. A compact kin of the strokes of
    [Jaffer2017]_, whose exponential tails touch the whole floor.

    Parameters
    ----------
    x_m, y_m : (T, N) arrays
        Centre of each stroke at each moment, first moment first. [m]
    u_m, v_m : (T, N) arrays
        How far the film at the centre moves in that moment. [m]
    radius_m : (T, N) array
        Where the drag has faded to nothing. [m]
    wall_m : float
        Distance from walls and columns over which the pass fades. [m]
    """

    x_m: NDArray[np.float64]
    y_m: NDArray[np.float64]
    u_m: NDArray[np.float64]
    v_m: NDArray[np.float64]
    radius_m: NDArray[np.float64]
    wall_m: float


@dataclass(frozen=True)
class Ripple:
    """A creep of the whole film along noise: ``depth`` times its curl.

    Parameters
    ----------
    depth_m : tuple of float
        How far the film creeps, an octave each. [m]
    wave_m : tuple of float
        Lattice spacing of each octave's noise. [m]
    wall_m : float
        Distance from walls and columns over which it fades. [m]
    """

    depth_m: tuple[float, ...]
    wave_m: tuple[float, ...]
    wall_m: float


class Motion(Record):
    """One pass over the wet floor; every subclass in this folder joins the menu.

    A motion has a ``kind`` (its name in stored jobs), a ``place`` in the usual
    order of work, and knobs; `lays` says what it leaves in the film. What is not
    ``usual`` is offered, but no part of a recipe until it is chosen.
    """

    kind: str
    place: ClassVar[int]
    usual: ClassVar[bool] = True

    @abstractmethod
    def lays(self, ground: Ground, salt: int) -> Strokes | Ripple:
        """Lay this motion over `ground`; `salt` keeps passes of one kind apart."""
