"""Stations and ripple crests as records of the result."""

import numpy as np
from numpy.typing import NDArray

from beadcheck.measurements.width import station_width_u_mm, width_effects
from beadcheck.quantity import COVERAGE_FACTOR, combined_standard_uncertainty
from beadcheck.result import RippleRecord, StationRecord
from beadcheck.surface import Points, Surface
from beadcheck.toes import Toes
from beadcheck.uncertainty import ScaleEffects


def station_records(toes: Toes, surface: Surface, scale: ScaleEffects) -> tuple[StationRecord, ...]:
    """Every station in view; U holds the toe's definition and the scale."""
    widths = toes.width_mm
    shared_u = combined_standard_uncertainty(width_effects(toes))
    scale_u = combined_standard_uncertainty(scale.across)
    expanded = COVERAGE_FACTOR * np.sqrt(
        station_width_u_mm(toes) ** 2 + shared_u**2 + (scale_u * widths) ** 2
    )
    clock = surface.clock_deg(toes.middle_mm)
    return tuple(
        StationRecord(
            photo=0,
            s_mm=float(toes.s_mm[i]),
            clock_deg=float(clock[i]) if np.isfinite(clock[i]) else None,
            left_toe_px=_pixel(toes.left_px[i]),
            right_toe_px=_pixel(toes.right_px[i]),
            weld_width_mm=float(widths[i]),
            weld_width_U_mm=float(expanded[i]),
            sure=bool(toes.sure[i]),
            steady=bool(toes.steady[i]),
        )
        for i in range(toes.s_mm.size)
        if np.isfinite(toes.left_px[i] + toes.right_px[i]).all()
    )


def ripple_records(s_mm: NDArray[np.float64], pixels: Points) -> tuple[RippleRecord, ...]:
    """Every ripple crest, where the photo shows it at the middle of the bead."""
    return tuple(
        RippleRecord(photo=0, s_mm=float(s), px=_pixel(px))
        for s, px in zip(s_mm, pixels, strict=True)
        if np.isfinite(px).all()
    )


def _pixel(point: NDArray[np.float64]) -> tuple[float, float]:
    return float(point[0]), float(point[1])
