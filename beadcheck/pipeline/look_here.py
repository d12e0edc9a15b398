"""Places to look at as records of the result."""

from collections.abc import Iterable
from typing import Final

import numpy as np

from beadcheck.indications import Candidate, CandidateKind, look_here_words, seen_words
from beadcheck.pipeline.places import in_mm, in_px, pixel
from beadcheck.quantity import COVERAGE_FACTOR, Component, combined_standard_uncertainty
from beadcheck.result import IndicationRecord
from beadcheck.surface import Surface, UnscaledSurface
from beadcheck.uncertainty import ScaleEffects

FACE_HEIGHT_SHARE: Final = 0.01
"""The weld face stands a few millimetres nearer to the camera than the base metal to which the
scale belongs: lengths there look up to about 2 % larger, rectangular."""
ON_THE_WELD: Final = (CandidateKind.SPOT_ON_FACE, CandidateKind.DIP_AT_END)


def indication_records(
    candidates: Iterable[Candidate], surface: Surface, scale: ScaleEffects
) -> tuple[IndicationRecord, ...]:
    """Every candidate that the photo shows, numbered in the order given; U holds the scale.

    Without a target lengths are pixels.
    """
    seen = [
        (each, corners_px)
        for each in candidates
        if np.isfinite(corners_px := surface.to_px(each.corners_mm)).all()
    ]
    return tuple(
        _record(number, each, corners_px, surface, scale)
        for number, (each, corners_px) in enumerate(seen, start=1)
    )


def _record(
    number: int,
    candidate: Candidate,
    corners_px: np.ndarray,
    surface: Surface,
    scale: ScaleEffects,
) -> IndicationRecord:
    px = surface.px_per_unit if isinstance(surface, UnscaledSurface) else None
    size = candidate.size
    on_weld = candidate.kind in ON_THE_WELD
    along_u = _expanded(size.along_mm, size.u_along_mm, scale.along, on_weld=on_weld)
    across_u = _expanded(size.across_mm, size.u_across_mm, scale.across, on_weld=on_weld)
    clock = float(surface.clock_deg(candidate.corners_mm.mean(axis=0, keepdims=True))[0])
    first, second, third, fourth = (pixel(corner) for corner in corners_px)
    return IndicationRecord(
        photo=0,
        number=number,
        kind=candidate.kind.value,
        words=seen_words(candidate.kind, candidate.side),
        look_here=look_here_words(candidate.kind),
        s_mm=in_mm(candidate.s_mm, px),
        s_px=in_px(candidate.s_mm, px),
        clock_deg=clock if np.isfinite(clock) else None,
        side=candidate.side,
        box_px=(first, second, third, fourth),
        length_along_mm=in_mm(size.along_mm, px),
        length_along_px=in_px(size.along_mm, px),
        length_along_U_mm=in_mm(along_u, px),
        length_along_U_px=in_px(along_u, px),
        length_across_mm=in_mm(size.across_mm, px),
        length_across_px=in_px(size.across_mm, px),
        length_across_U_mm=in_mm(across_u, px),
        length_across_U_px=in_px(across_u, px),
        strength=candidate.strength,
    )


def _expanded(
    length_mm: float, u_mm: float, scale: tuple[Component, ...], *, on_weld: bool
) -> float:
    relative = combined_standard_uncertainty(scale)
    height = FACE_HEIGHT_SHARE if on_weld else 0.0
    return COVERAGE_FACTOR * float(np.hypot(u_mm, np.hypot(relative, height) * length_mm))
