"""One face photo, from pixels to quantities."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.beadmap import BeadMap
from beadcheck.coupon import Process, Shape, TorchMotion, WeldPass
from beadcheck.errors import BeadcheckError
from beadcheck.indications import find_candidates
from beadcheck.measurements.evenness import evenness_quantities
from beadcheck.measurements.groove_overlap import groove_overlap_quantities
from beadcheck.measurements.heat import BY_RIPPLES, QUANTITIES, heat_by_ripples, heat_quantities
from beadcheck.measurements.layer import Layer, NoLayer, find_layer
from beadcheck.measurements.profile import height_names, lies_in_groove
from beadcheck.measurements.pulse import least_overlap, pulse_quantities
from beadcheck.measurements.ripple_spacing import ripple_quantities
from beadcheck.measurements.ripples import Ripples, find_ripples
from beadcheck.measurements.width import width_quantities
from beadcheck.photo import Photo
from beadcheck.photo_advice import PhotoAdvice, WeldFace, judged_photo
from beadcheck.pipeline.in_groove import FoundWeld, found_weld
from beadcheck.pipeline.layers import layer_records
from beadcheck.pipeline.look_here import indication_records
from beadcheck.pipeline.places import ripple_records
from beadcheck.pipeline.request import Request
from beadcheck.pipeline.solved import solved_surface
from beadcheck.pipeline.without_target import (
    toes_without_target,
    without_scale,
)
from beadcheck.quantity import NotMeasured, Quantity, QuantityName
from beadcheck.result import IndicationRecord, LayerRecord, RippleRecord
from beadcheck.side_by_side import both
from beadcheck.surface import Surface, UnscaledSurface
from beadcheck.target.design import TargetDesign
from beadcheck.target.find import FoundTarget, find_target
from beadcheck.toes import HandToes, Toes, require_sure
from beadcheck.toes.hidden import require_in_view
from beadcheck.uncertainty import ScaleEffects, scale_effects

FROM_ABOVE: Final = "A photo from above does not show height."
WITH_GAUGE: Final = "or measure it with a weld gauge."
HOW_TO_GET_HEIGHT: Final = {
    Shape.PIPE: (
        f"Take a side-on photo along the pipe's outline or a light-line photo too, {WITH_GAUGE}"
    ),
    Shape.PLATE: (
        "Take a second photo from 10 to 25 degrees to one side (a pair) or a light-line photo too, "
        f"{WITH_GAUGE}"
    ),
}
HOW_TO_IN_BORE: Final = "Measure it with a weld gauge: no photo through the open end gives height."
HOW_TO_IN_GROOVE: Final = f"Take a light-line photo across the groove too, {WITH_GAUGE}"
"""An outline shows nothing of what lies below the surface, and a pair nothing between walls."""
WITHOUT_TARGET: Final = (
    "Heights need the printed target in the photo: take it again with one, or measure with a weld "
    "gauge."
)
ONE_BEAD: Final = (WeldPass.FIT_UP, WeldPass.ROOT, WeldPass.ROOT_SIDE)
"""Passes that are one bead, unless somebody says otherwise."""
FACE_QUANTITIES: Final = (
    QuantityName.WELD_WIDTH,
    QuantityName.CENTRELINE_DEVIATION,
    QuantityName.TOE_WAVINESS,
    QuantityName.RIPPLE_SPACING,
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FaceMeasurement:
    """What one face photo gave before it was refused, or all of it.

    A later field is None where an earlier step was refused; `on_target` without a target too.
    `advice` is on what made the photo worse to measure from.
    """

    refusal: BeadcheckError | None = None
    advice: tuple[PhotoAdvice, ...] = ()
    found: FoundTarget | None = None
    surface: Surface | None = None
    weld: WeldFace | None = None
    toes: Toes | None = None
    scale: ScaleEffects | None = None
    on_target: FoundWeld | None = None
    crests: tuple[RippleRecord, ...] = ()
    layers: tuple[LayerRecord, ...] = ()
    indications: tuple[IndicationRecord, ...] = ()
    quantities: tuple[Quantity, ...] = ()
    not_measured: tuple[NotMeasured, ...] = ()


def measure_face(
    photo: Photo,
    request: Request,
    designs: Sequence[TargetDesign],
    *,
    hand: HandToes | None = None,
) -> FaceMeasurement:
    """Measure all that a photo from above can show; a refusal keeps what was solved before it.

    Toes that a person placed in this photo, `hand`, come before the finder's.
    """
    found: FoundTarget | None = None
    surface: Surface | None = None
    weld: WeldFace | None = None
    toes: Toes | None = None
    scale: ScaleEffects | None = None
    on_target: FoundWeld | None = None
    try:
        if request.without_target:
            surface, followed, toes = toes_without_target(photo, request, hand)
        else:
            found = find_target(photo, designs)
            metal = surface = solved_surface(found, photo, request)
            on_target = found_weld(photo, metal, request, hand)
            surface, followed, toes = on_target.surface, on_target.followed, on_target.toes
        weld = WeldFace.of(followed)
        scale = scale_effects(surface, toes)
        if on_target is not None and on_target.hidden is not None:
            require_in_view(on_target.hidden, toes)
        require_sure(toes)
    except BeadcheckError as refusal:
        return FaceMeasurement(
            refusal=refusal,
            advice=judged_photo(photo, found=found, surface=surface, weld=weld),
            found=found,
            surface=surface,
            weld=weld,
            toes=toes,
            scale=scale,
            on_target=on_target,
            not_measured=all_refused(refusal, request),
        )
    (ripples, advice), (candidates, layer) = both(
        lambda: (
            _ripples(followed.bead, surface, toes),
            judged_photo(photo, found=found, surface=surface, weld=weld),
        ),
        lambda: (
            find_candidates(followed, toes, surface),
            _layer(followed.bead, surface, toes, request),
        ),
    )
    measured = [
        scale.applied_to(q) if isinstance(q, Quantity) else q
        for q in _quantities(toes, ripples, request)
    ]
    if isinstance(surface, UnscaledSurface):
        measured = without_scale(measured, toes, ripples, surface)
    return FaceMeasurement(
        advice=advice,
        found=found,
        surface=surface,
        weld=weld,
        toes=toes,
        scale=scale,
        on_target=on_target,
        crests=_crests(ripples, followed.bead, surface),
        layers=layer_records(layer, surface, scale, entered=request.coupon.beads),
        indications=indication_records(candidates, surface, scale),
        quantities=tuple(q for q in measured if isinstance(q, Quantity)),
        not_measured=(
            *(q for q in measured if isinstance(q, NotMeasured)),
            *_heights_not_shown(request),
        ),
    )


def _ripples(bead: BeadMap, surface: Surface, toes: Toes) -> Ripples | NotMeasured:
    left_across_mm, right_across_mm = _toe_columns(bead, toes)
    return find_ripples(
        bead,
        surface,
        left_across_mm=left_across_mm,
        right_across_mm=right_across_mm,
        s_range_mm=_steady_range_mm(toes),
    )


def _layer(bead: BeadMap, surface: Surface, toes: Toes, request: Request) -> Layer | NoLayer | None:
    """Beads side by side; a root is one bead, and without a scale none are told apart."""
    coupon = request.coupon
    if request.without_target or (coupon.beads is None and coupon.weld_pass in ONE_BEAD):
        return None
    return find_layer(bead, surface, toes, entered=coupon.beads)


def _toe_columns(bead: BeadMap, toes: Toes) -> tuple[np.ndarray, np.ndarray]:
    left = bead.axis.to_weld(toes.left_mm)[:, 1]
    right = bead.axis.to_weld(toes.right_mm)[:, 1]
    return np.interp(bead.s_mm, toes.s_mm, left), np.interp(bead.s_mm, toes.s_mm, right)


def _crests(
    ripples: Ripples | NotMeasured, bead: BeadMap, surface: Surface
) -> tuple[RippleRecord, ...]:
    if isinstance(ripples, NotMeasured):
        return ()
    seen_mm, under_mm = (
        bead.axis.to_surface(s_mm, ripples.across_mm) for s_mm in (ripples.seen_s_mm, ripples.s_mm)
    )
    return ripple_records(ripples, seen_mm, under_mm, surface)


def _steady_range_mm(toes: Toes) -> tuple[float, float]:
    used_s = toes.s_mm[toes.steady]
    return float(used_s[0]), float(used_s[-1])


def _quantities(
    toes: Toes, ripples: Ripples | NotMeasured, request: Request
) -> list[Quantity | NotMeasured]:
    """Everything about width, evenness, ripples and pulses, scale not in the budgets yet."""
    coupon, arc = request.coupon, request.arc
    width = width_quantities(toes)
    spacing: tuple[Quantity | NotMeasured, ...]
    spacing = (ripples,) if isinstance(ripples, NotMeasured) else ripple_quantities(ripples)
    return [
        *width,
        *groove_overlap_quantities(width[0], coupon.groove_width_mm),
        *evenness_quantities(toes),
        *spacing,
        *pulse_quantities(
            spacing[0],
            width[0],
            coupon.pulse,
            coupon.process,
            panel=coupon.panel_times,
            motion=arc.motion or TorchMotion.STEPPED,
            weave=arc.weave,
        ),
        *_least_overlap(spacing, width[0], request),
        *heat_quantities(spacing[0], arc),
    ]


def _least_overlap(
    spacing: Sequence[Quantity | NotMeasured],
    width: Quantity | NotMeasured,
    request: Request,
) -> tuple[Quantity, ...]:
    """Overlap at the longest step; a slanted view without a target could make a step look long."""
    if request.without_target:
        return ()
    return least_overlap(
        spacing,
        width,
        request.coupon.pulse,
        request.coupon.process,
        motion=request.arc.motion or TorchMotion.STEPPED,
        weave=request.arc.weave,
    )


def _heights_not_shown(request: Request) -> tuple[NotMeasured, ...]:
    coupon = request.coupon
    how_to = HOW_TO_GET_HEIGHT[coupon.shape]
    if request.without_target:
        how_to = WITHOUT_TARGET
    elif coupon.seen_from_inside:
        how_to = HOW_TO_IN_BORE
    elif lies_in_groove(coupon.weld_pass):
        how_to = HOW_TO_IN_GROOVE
    return tuple(
        NotMeasured(name=name, reason=FROM_ABOVE, how_to=how_to)
        for name in height_names(coupon.weld_pass)
    )


def all_refused(refusal: BeadcheckError, request: Request) -> tuple[NotMeasured, ...]:
    """Everything that a face photo gives, not measured for one reason."""
    names = list(FACE_QUANTITIES)
    if request.coupon.process is Process.GTAW_PULSED:
        names.append(QuantityName.PULSE_OVERLAP)
        if request.coupon.pulse is not None:
            names.append(QuantityName.TRAVEL_SPEED)
        if heat_by_ripples(request.arc):
            names += [QUANTITIES[each] for each in BY_RIPPLES]
    return tuple(
        NotMeasured(name=name, reason=refusal.reason, how_to=refusal.how_to) for name in names
    ) + _heights_not_shown(request)
