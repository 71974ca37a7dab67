"""Profile take-up: the resin that a rough slab swallows before any film builds."""

from __future__ import annotations

from kit.site.sizes import checked_length
from kit.site.slab import Slab
from kit.takeoff.trail import Figure
from kit.units import UM_PER_MIL

_VOID_MILS: dict[int, float] = {
    1: 1.0,
    2: 2.0,
    3: 4.0,
    4: 7.0,
    5: 10.0,
    6: 15.0,
    7: 20.0,
    8: 30.0,
    9: 50.0,
    10: 100.0,
}
"""Mean depth of the hollows below the peaks, by ICRI chip. Common practice, no source:
[ICRI310]_ tells its chips by eye and touch and gives no depths."""

DEEPEST_VOID_M = 0.01


def void_um(csp: int) -> float:
    """Mean depth of the hollows of a profile, by its ICRI chip from 1 to 10. [µm]

    >>> round(void_um(3), 1)
    101.6
    """
    return _VOID_MILS[csp] * UM_PER_MIL


def takeup_l(area_m2: float, depth_um: float) -> float:
    """Resin that fills the hollows of a rough slab: area times their mean depth. [l]

    >>> takeup_l(10.0, 100.0)
    1.0
    """
    return area_m2 * depth_um / 1000.0


def void_figure(slab: Slab) -> Figure | None:
    """Mean depth of a slab's hollows; None where nothing was said of its profile.

    Raises
    ------
    SheetError
        If a depth that was measured is absurd.
    """
    if slab.void_depth is not None:
        depth_m = checked_length(
            slab.void_depth,
            about="slab, void_depth",
            least_m=1e-6,
            most_m=DEEPEST_VOID_M,
        )
        return Figure("Mean void depth", depth_m * 1e6, "µm", "as measured on the slab")
    if slab.profile_csp is not None:
        how = f"common for CSP {slab.profile_csp}; measure it where it matters"
        return Figure("Mean void depth", void_um(slab.profile_csp), "µm", how)
    return None
