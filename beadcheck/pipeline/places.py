"""Stations and ripple crests as records of the result."""

import numpy as np
from numpy.typing import NDArray

from beadcheck.measurements.ripples import Ripples
from beadcheck.measurements.width import hand_width_u_mm, station_width_u_mm, width_effects
from beadcheck.pipeline.frames import places_in_frame
from beadcheck.quantity import COVERAGE_FACTOR, combined_standard_uncertainty
from beadcheck.result import RippleRecord, StationRecord
from beadcheck.surface import Points, Surface, UnscaledSurface
from beadcheck.toes import Toes
from beadcheck.uncertainty import ScaleEffects


def station_records(toes: Toes, surface: Surface, scale: ScaleEffects) -> tuple[StationRecord, ...]:
    """Every station in view; U holds the toe's definition and the scale.

    Without a target lengths are pixels.
    """
    widths = toes.width_mm
    shared_u = combined_standard_uncertainty(width_effects(toes))
    scale_u = combined_standard_uncertainty(scale.across)
    expanded = COVERAGE_FACTOR * np.sqrt(
        station_width_u_mm(toes) ** 2
        + hand_width_u_mm(toes) ** 2
        + shared_u**2
        + (scale_u * widths) ** 2
    )
    clock = surface.clock_deg(toes.middle_mm)
    seen_at = surface.seen_at_deg(toes.middle_mm)
    left, right = (places_in_frame(surface, toe) for toe in (toes.left_mm, toes.right_mm))
    px = surface.px_per_unit if isinstance(surface, UnscaledSurface) else None
    return tuple(
        StationRecord(
            photo=0,
            s_mm=in_mm(toes.s_mm[i], px),
            s_px=in_px(toes.s_mm[i], px),
            clock_deg=float(clock[i]) if np.isfinite(clock[i]) else None,
            left_toe_px=pixel(toes.left_px[i]),
            right_toe_px=pixel(toes.right_px[i]),
            weld_width_mm=in_mm(widths[i], px),
            weld_width_px=in_px(widths[i], px),
            weld_width_U_mm=in_mm(expanded[i], px),
            weld_width_U_px=in_px(expanded[i], px),
            sure=bool(toes.sure[i]),
            left_placed_by_hand=bool(toes.left_by_hand[i]),
            right_placed_by_hand=bool(toes.right_by_hand[i]),
            steady=bool(toes.steady[i]),
            left_toe_mm=left[i],
            right_toe_mm=right[i],
            seen_at_deg=float(seen_at[i]) if px is None else None,
        )
        for i in range(toes.s_mm.size)
        if np.isfinite(toes.left_px[i] + toes.right_px[i]).all()
    )


def ripple_records(
    ripples: Ripples, seen_mm: Points, under_mm: Points, surface: Surface
) -> tuple[RippleRecord, ...]:
    """Every ripple crest that the photo shows at the middle of the bead.

    `under_mm` are the (K, 2) places of the surface under the crests, `seen_mm` those at which they
    are seen, in front of or behind them.
    """
    pixels = surface.to_px(seen_mm)
    in_frame = places_in_frame(surface, under_mm)
    px = surface.px_per_unit if isinstance(surface, UnscaledSurface) else None
    return tuple(
        RippleRecord(
            photo=0,
            s_mm=in_mm(s, px),
            s_px=in_px(s, px),
            px=pixel(place),
            place_mm=framed,
            bow_mm=in_mm(bow, px),
        )
        for s, bow, place, framed in zip(
            ripples.s_mm, ripples.bow_mm, pixels, in_frame, strict=True
        )
        if np.isfinite(place).all()
    )


def in_mm(length: float, px_per_unit: float | None) -> float | None:
    """Length in mm, or None where there is no scale."""
    return float(length) if px_per_unit is None else None


def in_px(length: float, px_per_unit: float | None) -> float | None:
    """Length in pixels where there is no scale, else None."""
    return None if px_per_unit is None else float(length) * px_per_unit


def pixel(point: NDArray[np.float64]) -> tuple[float, float]:
    """Point as x and y."""
    return float(point[0]), float(point[1])
