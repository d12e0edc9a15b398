"""Profiles from a line of light, or a shadow's edge, that lies across the weld at a slant."""

from beadcheck.profiles.light_line.measure import light_line_profiles
from beadcheck.profiles.light_line.reference import KnownStep, LightAngle, LightReference

__all__ = ["KnownStep", "LightAngle", "LightReference", "light_line_profiles"]
