"""The target's own frame as a record of the result, and places in it."""

import numpy as np

from beadcheck.result import TargetFrameRecord, TargetPartRecord
from beadcheck.surface import (
    Points,
    SolvedSurface,
    Surface,
    diameter_alone_mm,
    in_target_frame,
    metal_per_print,
    seen_parts,
)
from beadcheck.target.design import TargetDesign
from beadcheck.target.seam import turn_mm


def frame_record(surface: Surface | None, design: TargetDesign) -> TargetFrameRecord | None:
    """Where in the target's frame a photo lies; None where no target was solved."""
    if not isinstance(surface, SolvedSurface):
        return None
    alone = diameter_alone_mm(surface)
    on_metal = metal_per_print(surface)
    joints_mm = (0.0, *sorted(design.joints_mm))
    zero_mm = design.clock_zero_mm or 0.0
    # Without a mark at 12 o'clock nobody knows where round the pipe a place lies.
    printed_mm = None if alone is None or design.clock_zero_mm is None else turn_mm(design)
    scale = surface.scale
    return TargetFrameRecord(
        parts=tuple(
            TargetPartRecord(
                segment=part.key.segment,
                turn=part.key.turn,
                starts_mm=(joints_mm[part.key.segment] - zero_mm) * scale.ratio * on_metal,
                shift_mm=part.shift_mm,
                shift_u_mm=part.u_shift_mm,
            )
            for part in seen_parts(surface)
        ),
        print_ratio=scale.ratio,
        print_u_ratio=scale.u_ratio,
        bar_measured=scale.bar_measured,
        clock_sense=surface.clock_sense,
        turn_mm=None if printed_mm is None else printed_mm * scale.ratio * on_metal,
        strip_diameter_mm=None if alone is None else design.outside_diameter_mm or design.bore_mm,
        alone_diameter_mm=None if alone is None else alone[0],
        alone_diameter_u_mm=None if alone is None else alone[1],
    )


def places_in_frame(
    surface: Surface, points_mm: Points
) -> tuple[tuple[float, float], ...] | tuple[None, ...]:
    """Surface points in the frame of the target; None each where no target was solved."""
    if not isinstance(surface, SolvedSurface):
        return (None,) * len(points_mm)
    places = in_target_frame(surface, points_mm)
    return tuple((float(x), float(y)) for x, y in np.asarray(places))
