"""The base-metal surface under the camera: a plane or a cylinder, solved from the target."""

from beadcheck.surface.contract import Points, PrintScale, Surface

__all__ = ["Points", "PrintScale", "Surface"]
