"""The metal's skin as textures over s and t: colour, roughness, metal or not, and fine slopes."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from samples.making.noise import Floats, Image


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Canvas:
    """Layers that finishes paint on; rows run along +t, columns along +s.

    Attributes
    ----------
    colour
        (M, N, 3) linear reflectance.
    rough, metal
        (M, N) roughness; 1 for bare metal, 0 for rust, slag or paint.
    slope
        (M, N, 2) dz/ds and dz/dt of what is too fine for the mesh.
    """

    span_mm: Floats
    texel_mm: float
    s_mm: Floats
    t_mm: Floats
    colour: Image
    rough: Image
    metal: Image
    slope: Image

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return len(self.t_mm), len(self.s_mm)

    def grain(self, mm: float) -> float:
        """Length in texels."""
        return max(1.0, mm / self.texel_mm)

    def blend(
        self,
        mask: Image,
        *,
        colour: Floats | Image | None = None,
        rough: float | Image | None = None,
        metal: float | None = None,
        calm: float = 0.0,
    ) -> None:
        """Lay a finish over the canvas where mask is 1; `calm` is how far it levels the slopes."""
        over = mask.astype(np.float32)
        if colour is not None:
            self.colour[:] += over[..., None] * (np.asarray(colour, dtype=np.float32) - self.colour)
        if rough is not None:
            self.rough[:] += over * (np.asarray(rough, dtype=np.float32) - self.rough)
        if metal is not None:
            self.metal[:] += over * (np.float32(metal) - self.metal)
        if calm > 0:
            self.slope[:] *= 1 - np.float32(calm) * over[..., None]

    def stain(self, factor: Image) -> None:
        """Multiply the colour by (M, N) or (M, N, 3)."""
        self.colour[:] *= factor if factor.ndim == 3 else factor[..., None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Textures:
    """The canvas as 8-bit pictures, for the renderer."""

    colour: NDArray[np.uint8]
    rough: NDArray[np.uint8]
    metal: NDArray[np.uint8]
    normal: NDArray[np.uint8]


def blank(span_mm: Floats, *, texel_mm: float) -> Canvas:
    """Canvas over span (s0, s1, t0, t1)."""
    columns = int(np.ceil((span_mm[1] - span_mm[0]) / texel_mm))
    rows = int(np.ceil((span_mm[3] - span_mm[2]) / texel_mm))
    return Canvas(
        span_mm=span_mm,
        texel_mm=texel_mm,
        s_mm=span_mm[0] + (np.arange(columns) + 0.5) * (span_mm[1] - span_mm[0]) / columns,
        t_mm=span_mm[2] + (np.arange(rows) + 0.5) * (span_mm[3] - span_mm[2]) / rows,
        colour=np.full((rows, columns, 3), 0.4, dtype=np.float32),
        rough=np.full((rows, columns), 0.4, dtype=np.float32),
        metal=np.ones((rows, columns), dtype=np.float32),
        slope=np.zeros((rows, columns, 2), dtype=np.float32),
    )


def textures(canvas: Canvas) -> Textures:
    """Eight-bit textures of a canvas; the colour in sRGB code, the rest as it is."""
    linear = np.clip(canvas.colour, 0, 1)
    code = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)
    normal = np.empty((*canvas.shape, 3), dtype=np.float32)
    length = 1 / np.sqrt(1 + (canvas.slope**2).sum(axis=-1))
    normal[..., :2] = -canvas.slope * length[..., None]
    normal[..., 2] = length
    return Textures(
        colour=_bytes(code),
        rough=_bytes(np.clip(canvas.rough, 0.06, 1)),
        metal=_bytes(canvas.metal),
        normal=_bytes(normal * 0.5 + 0.5),
    )


def _bytes(x: Image) -> NDArray[np.uint8]:
    return np.asarray(np.clip(x, 0, 1) * 255 + 0.5, dtype=np.uint8)
