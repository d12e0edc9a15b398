"""The base-metal surface under the camera: a plane or a cylinder, solved from the target."""

from beadcheck.surface.contract import Points, PrintScale, Surface, SurfaceWarning
from beadcheck.surface.scale import print_scale
from beadcheck.surface.solve import solve_surface
from beadcheck.surface.solved import SolvedSurface
from beadcheck.surface.unscaled import UnscaledSurface, unscaled_surface

__all__ = [
    "Points",
    "PrintScale",
    "SolvedSurface",
    "Surface",
    "SurfaceWarning",
    "UnscaledSurface",
    "print_scale",
    "solve_surface",
    "unscaled_surface",
]
