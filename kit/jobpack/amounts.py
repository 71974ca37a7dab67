"""Figures as they are read off a jug, a scale or a clock."""

from __future__ import annotations

from kit.units import G_PER_OZ, KG_PER_LB, L_PER_GAL

NBSP = "\N{NO-BREAK SPACE}"
OZ_PER_GAL = 128
ML_PER_L = 1000


def jug(volume_l: float) -> str:
    """A volume as a jug has it.

    >>> jug(1.5).replace(NBSP, " "), jug(0.01).replace(NBSP, " ")
    ('50.7 fl oz', '0.3 fl oz')
    """
    return f"{volume_l / L_PER_GAL * OZ_PER_GAL:.1f}{NBSP}fl{NBSP}oz"


def jug_oz(volume_l: float) -> str:
    """Whole fluid ounces, where the unit stands in the head of a table."""
    return f"{volume_l / L_PER_GAL * OZ_PER_GAL:.0f}"


def millilitres(volume_l: float) -> str:
    """The same in millilitres."""
    return f"{volume_l * ML_PER_L:,.0f}{NBSP}ml"


def scale(mass_kg: float) -> str:
    """A weight as a scale has it.

    >>> scale(1.25).replace(NBSP, " "), scale(0.05).replace(NBSP, " ")
    ('2 lb 12.1 oz', '1.8 oz')
    """
    pounds, rest_kg = divmod(mass_kg, KG_PER_LB)
    ounces = round(rest_kg * 1000 / G_PER_OZ, 1)
    if ounces >= 16.0:
        pounds, ounces = pounds + 1, 0.0
    small = f"{ounces:.1f}{NBSP}oz"
    return f"{pounds:.0f}{NBSP}lb{NBSP}{small}" if pounds else small


def grams(mass_kg: float) -> str:
    """The same in grams, tenths where it is little."""
    g = mass_kg * 1000
    return f"{g:,.1f}{NBSP}g" if g < 100 else f"{g:,.0f}{NBSP}g"


def gallons_of(volume_l: float) -> str:
    """A volume as it is bought."""
    return f"{volume_l / L_PER_GAL:,.2f}{NBSP}gal"


def clock(minutes: float) -> str:
    """Minutes from the first drop, as a timer shows them.

    >>> clock(83.4), clock(-17.0)
    ('1:23', '−0:17')
    """
    whole = round(minutes)
    hours, rest = divmod(abs(whole), 60)
    return f"{'−' if whole < 0 else ''}{hours}:{rest:02d}"


def numbered(numbers: tuple[int, ...]) -> str:
    """Numbers of lanes, runs of them drawn together.

    >>> numbered((3, 4, 5, 9))
    '3–5, 9'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{r[0]}–{r[-1]}" if len(r) > 1 else f"{r[0]}" for r in runs)
