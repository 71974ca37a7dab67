"""What stands in for the renderer where only the paper is tried."""

from __future__ import annotations

import numpy as np

from kit.look.picture import Picture as Rendered
from kit.stock import read_shelf


class Bands:
    """Stands in for the renderer: bands of colour, brighter where the coat mirrors."""

    def __init__(self, job) -> None:
        from kit.look.paints import paints_for

        self.shelf = read_shelf()
        palette = job.recipe.palette
        pigments = tuple(self.shelf.pigment(c.pigment) for c in palette.colours)
        self.paints = paints_for(pigments, self.shelf.tint(palette.tint))
        self.asked = []

    def shown(self, view, finish, *, width_px, height_px, samples):  # noqa: ARG002
        self.asked.append((view, finish))
        rgb = np.zeros((height_px, width_px, 3), np.uint8)
        rgb[..., 2] = np.linspace(40, 200, width_px).astype(np.uint8)
        if finish == "gloss":
            rgb[-height_px // 3 :, width_px // 2 : width_px // 2 + width_px // 10] = 255
        return Rendered(rgb)
