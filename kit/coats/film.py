"""Film, spread and volume: plain geometry, good for any resin."""

from __future__ import annotations

from kit.errors import MeasureError

UM_PER_M2_PER_L = 1000.0
"""One litre covers 1000 m² at 1 µm; the metric twin of the 1604 rule."""


def spread_m2_per_l(film_um: float) -> float:
    """Area that a litre covers at a wet film. [m²/l]

    In trade units a US gallon, 231 in³ by definition, covers 1604.17 sq ft at one
    mil [NIST811]_.

    >>> spread_m2_per_l(500.0)
    2.0
    """
    _check_film(film_um)
    return UM_PER_M2_PER_L / film_um


def film_for_spread_um(spread: float) -> float:
    """Wet film that results when a litre is spread over `spread` m². [µm]"""
    if spread <= 0.0:
        raise MeasureError("spread", found=f"{spread:g} m²/l", expected="more than 0 m²/l")
    return UM_PER_M2_PER_L / spread


def dry_film_um(wet_um: float, volume_solids: float, *, thinned: float = 0.0) -> float:
    """Film that stays when the solvent has left. [µm]

    Parameters
    ----------
    wet_um : float
        Wet film as laid. [µm]
    volume_solids : float
        Share of the unthinned resin that stays, in (0, 1]. [unitless]
    thinned : float
        Solvent added over the resin's volume, >= 0. [unitless]

    Notes
    -----
    [MILHDBK1110]_ section 2.1.5; thinning is the same balance of solids.
    """
    _check_film(wet_um)
    _check_solids(volume_solids, thinned)
    return wet_um * volume_solids / (1.0 + thinned)


def wet_film_um(dry_um: float, volume_solids: float, *, thinned: float = 0.0) -> float:
    """Film to lay so that `dry_um` stays; the inverse of `dry_film_um`. [µm]"""
    _check_film(dry_um)
    _check_solids(volume_solids, thinned)
    return dry_um * (1.0 + thinned) / volume_solids


def volume_l(area_m2: float, film_um: float, *, waste: float) -> float:
    """Volume to mix for one pass. [l]

    Parameters
    ----------
    area_m2 : float
        Surface to coat. [m²]
    film_um : float
        Wet film. [µm]
    waste : float
        Mixed on top of the film for bucket, roller and spill, 0.08 for eight
        percent, in [0, 1). [unitless]

    Raises
    ------
    MeasureError
        If area or film is not positive, or waste is no share.

    Notes
    -----
    Waste is an extra on the film, ``film × (1 + waste)``. It is not the loss of a
    spray gun, ``film / (1 − loss)``, which asks for more at the same percentage; see
    `waste_of_loss`.

    >>> round(volume_l(100.0, 500.0, waste=0.10), 6)
    55.0
    """
    if area_m2 <= 0.0:
        raise MeasureError("area", found=f"{area_m2:g} m²", expected="more than 0 m²")
    if not 0.0 <= waste < 1.0:
        raise MeasureError("waste", found=waste, expected="a share from 0 up to 1")
    return area_m2 / spread_m2_per_l(film_um) * (1.0 + waste)


def waste_of_loss(loss: float) -> float:
    """Waste on top of the film that makes good a share lost on the way.

    Parameters
    ----------
    loss : float
        What of the mixed volume never becomes film, in [0, 1). [unitless]

    Returns
    -------
    float
        As `volume_l` takes it. [unitless]

    Raises
    ------
    MeasureError
        If the loss is no share.

    Notes
    -----
    Of a mixed volume V there stays V × (1 − loss), so that the film asks for
    V = film ÷ (1 − loss), which is film × (1 + loss ÷ (1 − loss)). The transfer
    efficiency of the paint handbooks is 1 − loss.

    >>> round(waste_of_loss(0.10), 6)
    0.111111
    """
    if not 0.0 <= loss < 1.0:
        raise MeasureError("loss", found=loss, expected="a share from 0 up to 1")
    return loss / (1.0 - loss)


def _check_film(film_um: float) -> None:
    if film_um <= 0.0:
        raise MeasureError("film", found=f"{film_um:g} µm", expected="more than 0 µm")


def _check_solids(volume_solids: float, thinned: float) -> None:
    if not 0.0 < volume_solids <= 1.0:
        raise MeasureError(
            "volume solids", found=volume_solids, expected="a share above 0, up to 1"
        )
    if thinned < 0.0:
        raise MeasureError("thinned", found=thinned, expected="0 or more")
