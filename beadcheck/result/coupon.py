"""The record of the coupon and the pass; its field names are keys of the format.

The text under each field is its description in the published JSON Schema.
"""

from dataclasses import dataclass
from typing import Annotated

from pydantic import Field, with_config

from beadcheck.result.form import RECORD


@with_config(RECORD)
@dataclass(frozen=True, slots=True, kw_only=True)
class CouponRecord:
    """The coupon and the pass, as entered; what was not entered is null."""

    shape: str
    """plate or pipe."""
    outside_diameter_mm: float | None
    """Outside diameter of the pipe as entered, in mm; null for a plate."""
    wall_thickness_mm: float | None
    """Nominal wall or plate thickness, in mm."""
    bore_mm: float | None = None
    """Bore of the pipe as measured, in mm; null where it was not."""
    weld_pass: Annotated[str | None, Field(alias="pass")]
    """Which pass the photos show: fit-up, root, root-side, second, fill or cap."""
    layer: int | None = None
    """Number of the layer that the pass is of, from the root, which is 1."""
    bead: int | None = None
    """Number of the bead in its layer, in the order of welding, from 1."""
    beads: int | None = None
    """How many beads lie side by side in the layer on top."""
    groove_width_mm: float | None = None
    """Width of the groove at the surface before welding, in mm."""
    process: str | None = None
    """Welding process: gtaw, gtaw-pulsed, smaw or gmaw."""
    polarity: str | None = None
    """Polarity: dcen (electrode negative), dcep (electrode positive) or ac."""
    position: str | None = None
    """Test position of the coupon, 1G to 6G."""
    progression: str | None = None
    """Direction of vertical welding: up or down."""
    strip_side: str | None = None
    """On which side of the weld the strip lay as the pipe stood when welded: high or low."""
    peak_time_s: float | None = None
    """Time of the peak current in one pulse, in seconds."""
    background_time_s: float | None = None
    """Time of the background current in one pulse, in seconds."""
