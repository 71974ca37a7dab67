"""Eight-band colour of mixed pigments against thirty-six bands of 10 nm."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from kit.look.colour import RGB_TO_XYZ, difference, lab, rgb_of_bands
from kit.look.optics import kubelka_munk
from kit.stock import read_shelf

pytestmark = pytest.mark.jit

FINE_NM = np.arange(380.0, 731.0, 10.0)
BAND_NM = 400.0 + 37.5 * (np.arange(8) + 0.5)


def in_fine_bands(eight):
    """The smooth curve through the logs of eight band values, level beyond the ends."""
    curve = CubicSpline(BAND_NM, np.log(eight), bc_type="natural")
    return np.exp(curve(np.clip(FINE_NM, BAND_NM[0], BAND_NM[-1])))


@pytest.fixture(scope="module")
def fine_to_rgb():
    """CIE 1931 observer under D65 from tables of colour-science, white made (1, 1, 1)."""
    colour = pytest.importorskip("colour", reason="colour-science is not installed")
    shape = colour.SpectralShape(380, 730, 10)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy()
    daylight = colour.SDS_ILLUMINANTS["D65"].copy()
    weights = observer.align(shape).values * daylight.align(shape).values[:, None]
    rgb = weights / weights[:, 1].sum() @ np.linalg.inv(RGB_TO_XYZ).T
    return rgb / rgb.sum(axis=0)


def film(absorption, scattering, thickness, ground):
    return np.array([
        kubelka_munk(k, s, thickness, g)
        for k, s, g in zip(absorption, scattering, ground, strict=True)
    ])  # fmt: skip


@pytest.mark.parametrize("thickness", [0.3, 1.0, 4.0])
@pytest.mark.parametrize("part", [0.5, 0.2, 0.8])
def test_eight_bands_mix_as_thirty_six_do(fine_to_rgb, thickness, part):
    """Every pair of pigments on the shelf, in thin, nominal and thick films."""
    shelf = read_shelf()
    ground = np.array(next(t.reflectance for t in shelf.tints if t.key == "soot_black"))
    apart = []
    for one, other in itertools.combinations(shelf.pigments, 2):
        films = []
        for spectrum in (np.asarray, in_fine_bands):
            k, s = (
                part * spectrum(getattr(one, name))
                + (1 - part) * spectrum(getattr(other, name))
                for name in ("absorption", "scattering")
            )
            films.append(film(k, s, thickness, spectrum(ground)))
        seen = [rgb_of_bands(films[0]), films[1] @ fine_to_rgb]
        apart.append(float(difference(*(lab(np.clip(rgb, 0, 1)) for rgb in seen))))
    assert len(apart) >= 60
    assert max(apart) < 0.7
    assert np.mean(apart) < 0.3
