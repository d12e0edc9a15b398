"""Turning a profile so that its parent metal lies level."""

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from beadcheck.measurements.profile.opened import LEAST_ENVELOPE_MM, opened_heights_mm
from beadcheck.measurements.profile.section import Floats, Section, even_section
from beadcheck.profiles import Profile

SHARED_PLACE_MM: Final = 1e-9
"""Keeps places apart where several points behind one another would share one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where the levelled frame lies in the profile's own: its origin, and how far it is turned."""

    about_mm: float = 0.0
    height_mm: float = 0.0
    tilt: float = 0.0

    def place(self, across_mm: float) -> float:
        """Place on the parent metal, from the profile's frame to the levelled one."""
        return (across_mm - self.about_mm) / math.cos(self.tilt)

    def moved(self, *, across_mm: float, height_mm: float, slope: float) -> "Frame":
        """Frame whose origin and slope are those given in this one."""
        cos, sin = math.cos(self.tilt), math.sin(self.tilt)
        return Frame(
            about_mm=self.about_mm + across_mm * cos - height_mm * sin,
            height_mm=self.height_mm + across_mm * sin + height_mm * cos,
            tilt=self.tilt + math.atan(slope),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Levelled:
    """A profile's own (N,) points in a frame, and the section through them."""

    across_mm: Floats
    height_mm: Floats
    section: Section


def levelled(profile: Profile, frame: Frame) -> Levelled:
    """Profile in a frame.

    Only a profile whose flanks are nowhere steeper than a right angle to the frame keeps its order;
    points that a turn brings out of order become holes.
    """
    cos, sin = math.cos(frame.tilt), math.sin(frame.tilt)
    x, z = profile.across_mm - frame.about_mm, profile.height_mm - frame.height_mm
    known = np.isfinite(z)
    # Holes have a place too: on the line between what is seen on either side.
    level = z
    if not known.all():
        level = np.interp(x, x[known], z[known]) if known.any() else np.zeros_like(x)
    across = x * cos + level * sin
    index = np.arange(len(x), dtype=np.float64)
    ahead = np.ones(len(x), dtype=np.bool_)
    ahead[1:] = across[1:] > np.maximum.accumulate(across)[:-1]
    if not ahead.all():
        across = np.interp(index, index[ahead], across[ahead])
    across = across + SHARED_PLACE_MM * index
    height = np.where(known & ahead, z * cos - x * sin, np.nan)
    return Levelled(
        across_mm=across,
        height_mm=height,
        section=even_section(
            across,
            height,
            profile.u_height_mm,
            independent_mm=profile.independent_mm,
            smooth_mm=profile.smooth_mm,
        ),
    )


def with_outline_undone(profile: Profile) -> Profile:
    """Profile whose heights no longer hold what an outline seen at a slant adds to flanks."""
    if profile.envelope_mm < LEAST_ENVELOPE_MM:
        return profile
    section = levelled(profile, Frame()).section
    everywhere = (
        np.full(len(profile.across_mm), profile.envelope_mm)
        if profile.envelopes_mm is None
        else profile.envelopes_mm
    )
    opened = opened_heights_mm(
        section.z_mm,
        step_mm=section.step_mm,
        envelopes_mm=np.interp(section.x_mm, profile.across_mm, everywhere),
    )
    seen = np.isfinite(profile.height_mm)
    known = np.isfinite(opened)
    heights = np.interp(profile.across_mm, section.x_mm[known], opened[known])
    return replace(profile, height_mm=np.where(seen, heights, np.nan))
