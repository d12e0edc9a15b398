"""The base-metal surface under the camera: a plane or a cylinder, solved from the target."""

from beadcheck.surface.contract import Points, PrintScale, Surface, SurfaceWarning
from beadcheck.surface.scale import print_scale
from beadcheck.surface.solve import solve_surface
from beadcheck.surface.solved import SolvedSurface
from beadcheck.surface.sunken import SunkenSurface, of_bare_metal, sunken
from beadcheck.surface.target_frame import (
    SeenPart,
    diameter_alone_mm,
    in_target_frame,
    metal_per_print,
    seen_parts,
)
from beadcheck.surface.unscaled import UnscaledSurface, unscaled_surface

__all__ = [
    "Points",
    "PrintScale",
    "SeenPart",
    "SolvedSurface",
    "SunkenSurface",
    "Surface",
    "SurfaceWarning",
    "UnscaledSurface",
    "diameter_alone_mm",
    "in_target_frame",
    "metal_per_print",
    "of_bare_metal",
    "print_scale",
    "seen_parts",
    "solve_surface",
    "sunken",
    "unscaled_surface",
]
