"""Beads side by side as records of the result."""

from collections.abc import Sequence

import numpy as np

from beadcheck.measurements.layer import BeadWidth, Layer, NoLayer
from beadcheck.pipeline.frames import places_in_frame
from beadcheck.pipeline.places import pixel
from beadcheck.quantity import COVERAGE_FACTOR, Quantity, combined_standard_uncertainty
from beadcheck.result import BeadWidthRecord, LayerRecord, LayerStationRecord
from beadcheck.surface import Surface
from beadcheck.uncertainty import ScaleEffects


def layer_records(
    layer: Layer | NoLayer | None, surface: Surface, scale: ScaleEffects, *, entered: int | None
) -> tuple[LayerRecord, ...]:
    """Layer of one photo, scale in every U; nothing for a single bead."""
    if layer is None:
        return ()
    if isinstance(layer, NoLayer):
        why = f"{layer.reason} {layer.how_to}"
        return (LayerRecord(photo=0, count=entered or 1, seen_count=None, not_measured=why),)
    return (
        LayerRecord(
            photo=0,
            count=len(layer.beads),
            seen_count=layer.seen_count,
            widths=tuple(
                bead_width_record(number, [scale.applied_to(q) for q in bead.quantities])
                for number, bead in enumerate(layer.beads, start=1)
                if bead.quantities
            ),
            stations=_stations(layer, surface, scale),
        ),
    )


def bead_width_record(number: int, quantities: Sequence[Quantity]) -> BeadWidthRecord:
    """Mean, least and greatest width of one bead."""
    mean, least, greatest = quantities
    return BeadWidthRecord(
        bead=number,
        mean_mm=mean.value,
        mean_U_mm=mean.expanded_uncertainty,
        min_mm=least.value,
        max_mm=greatest.value,
        extreme_U_mm=max(least.expanded_uncertainty, greatest.expanded_uncertainty),
        count=mean.count,
    )


def _stations(
    layer: Layer, surface: Surface, scale: ScaleEffects
) -> tuple[LayerStationRecord, ...]:
    """Every station at which the photo shows all valleys' places."""
    scale_u = combined_standard_uncertainty(scale.across)
    clock = surface.clock_deg(layer.valleys[0].under_mm)
    seen_px = [surface.to_px(valley.seen_mm) for valley in layer.valleys]
    places = [places_in_frame(surface, valley.under_mm) for valley in layer.valleys]
    found = []
    for i, s_mm in enumerate(layer.s_mm):
        framed = [place for each in places if (place := each[i]) is not None]
        if len(framed) < len(places) or not all(np.isfinite(px[i]).all() for px in seen_px):
            continue
        found.append(
            LayerStationRecord(
                s_mm=float(s_mm),
                clock_deg=float(clock[i]) if np.isfinite(clock[i]) else None,
                valleys_px=tuple(pixel(px[i]) for px in seen_px),
                valleys_mm=tuple(framed),
                valleys_U_mm=tuple(
                    COVERAGE_FACTOR * float(np.hypot(each.u_mm[i], each.shift_u_mm[i]))
                    for each in layer.valleys
                ),
                seen=tuple(bool(valley.clear[i]) for valley in layer.valleys),
                widths_mm=tuple(float(bead.width_mm[i]) for bead in layer.beads),
                widths_U_mm=tuple(_expanded(bead, i, scale_u) for bead in layer.beads),
                sure=tuple(bool(bead.used[i]) for bead in layer.beads),
            )
        )
    return tuple(found)


def _expanded(bead: BeadWidth, i: int, scale_u: float) -> float:
    return COVERAGE_FACTOR * float(np.hypot(bead.u_mm[i], scale_u * bead.width_mm[i]))
