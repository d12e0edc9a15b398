"""What light and eye meet first: the metal's relief, and what lies on it."""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from samples.making.noise import Floats
from samples.making.recipe import Laid
from samples.making.relief import Relief
from samples.making.stage import Stage
from samples.making.things import top_mm


class On(IntEnum):
    """What a point lies on."""

    BASE = 0
    BEAD = 1
    CARD = 2
    STEP = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Top:
    """The topmost surface over s and t; spatter and magnets are left out."""

    stage: Stage
    heights: Relief

    def height_mm(self, s_mm: Floats, t_mm: Floats) -> Floats:
        """Height at points, s and t broadcast."""
        return self.look(s_mm, t_mm)[0]

    def look(self, s_mm: Floats, t_mm: Floats) -> tuple[Floats, NDArray[np.int8]]:
        """Height at points, s and t broadcast, and what they lie on."""
        s, t = np.broadcast_arrays(s_mm, t_mm)
        z = self.heights.height_mm(s, t)
        on = np.full(s.shape, On.BASE, dtype=np.int8)
        weld = self.stage.weld
        if weld is not None:
            low, high = weld.toes_mm(np.asarray(s, dtype=np.float64))
            on[(t > low) & (t < high)] = On.BEAD
        for laid in self.stage.scene.laid:
            paper = _paper_mm(laid, s, t, self.stage.shape.radius_mm)
            on[paper > z] = On.CARD
            z = np.fmax(z, paper)
        for block in self.stage.scene.blocks:
            steel = top_mm(block, s, t, radius_mm=self.stage.shape.radius_mm)
            on[steel > z] = On.STEP
            z = np.fmax(z, steel)
        return z, on

    def free(self, xyz_mm: Floats, towards_mm: Floats, *, within_mm: float = 16.0) -> Floats:
        """Whether nothing of the top lies between points (N, 3) and a far point (3,)."""
        ray = towards_mm - xyz_mm
        ray /= np.linalg.norm(ray, axis=-1, keepdims=True)
        steps = np.concatenate([np.arange(0.04, 2, 0.04), np.arange(2, within_mm, 0.15)])
        way = self.stage.shape.stz_mm(xyz_mm[:, None] + steps[None, :, None] * ray[:, None])
        clear = way[..., 2] - self.height_mm(way[..., 0], way[..., 1])
        return np.asarray(clear.min(axis=1) > -0.01)


def _paper_mm(laid: Laid, s: Floats, t: Floats, radius_mm: float | None) -> Floats:
    """Height of a sheet's printed face at points; NaN beside the paper."""
    sheet, lie = laid.sheet, laid.lie
    ds = np.asarray(s - lie.s_mm, dtype=np.float64)
    if radius_mm is not None:
        turn = 2 * np.pi * radius_mm
        ds = (ds + turn / 2) % turn - turn / 2
        if sheet.outside_diameter_mm is not None:
            ds = ds * (radius_mm + lie.lift_mm + sheet.thickness_mm / 2) / radius_mm
    dt = t - lie.t_mm
    angle = np.radians(lie.angle_deg)
    x0, y0, x1, y1 = sheet.box_mm
    x = (x0 + x1) / 2 + (np.cos(angle) * ds + np.sin(angle) * dt) / lie.print_scale
    y = (y0 + y1) / 2 - (np.cos(angle) * dt - np.sin(angle) * ds) / lie.print_scale
    face = lie.stz_mm(sheet, np.stack([x, y], axis=-1))[..., 2]
    return np.where(sheet.covers(x, y), face, np.nan)
