"""The record of one photo; its field names are keys of the format.

The text under each field is its description in the published JSON Schema.
"""

from dataclasses import dataclass

from pydantic import with_config

from beadcheck.result.form import RECORD
from beadcheck.result.frame import TargetFrameRecord


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class ProblemRecord:
    """Something about one photo: a refusal, or a warning."""

    code: str
    """Fixed word for the situation."""
    message: str
    """What is wrong and what to do, in words."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class PassDepthRecord:
    """How deep in its groove a pass was taken to lie: its lengths are measured at that depth."""

    depth_mm: float
    """Depth of the toes below the surface of the base metal, in mm."""
    U_mm: float  # the format's key
    """Expanded uncertainty (k = 2), in mm."""
    by: str
    """What told it: entered, profile, groove (where the walls are as far apart as the pass is
    wide), wall (usual for the pass in such a wall), or nothing."""


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoRecord:
    """One photo; numbers are null where no surface was solved."""

    file: str
    """Name of the file, without folders."""
    kind: str
    """How it was taken: face, side-on, light-line or pair."""
    usable: bool
    """Whether anything was measured from it."""
    px_per_mm: float | None
    """Scale of the photo at the weld, pixels per mm."""
    tilt_deg: float | None
    """Angle between the line of sight and the normal of the surface, in degrees."""
    distance_mm: float | None
    """Distance of the camera from the weld, in mm."""
    problems: tuple[ProblemRecord, ...]
    """Refusals and warnings of this photo."""
    outside_diameter_mm: float | None = None
    """Outside diameter as solved from the photo, in mm; null for a plate, and inside a pipe."""
    bore_mm: float | None = None
    """Bore as solved from a photo of the inside of a pipe, in mm; else null."""
    fit_residual_px: float | None = None
    """Root mean square distance between seen and fitted marker points, in pixels."""
    target: str | None = None
    """Name of the printed target that was found."""
    camera: str | None = None
    """Name and date of the stored calibration of the camera; null where none was used."""
    without_target: bool = False
    """Whether it was measured without a target: all its lengths are pixels or shares then."""
    clock_deg: float | None = None
    """Clock position of what it shows, as somebody entered it, in degrees from 12 o'clock."""
    pass_depth: PassDepthRecord | None = None
    """How deep in its groove the pass lies; null for a pass that lies in none."""
    frame: TargetFrameRecord | None = None
    """The target's own frame as this photo shows it, in which places of several photos of one
    target meet; null where no target was solved."""
