"""Ripple crests of the weld face."""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from beadcheck.beadmap import BeadMap
from beadcheck.measurements.lean import lean_along, turning_deg
from beadcheck.measurements.ripple_crests import Crests, pick_crests
from beadcheck.measurements.ripple_refusal import refusal_of, too_short
from beadcheck.measurements.ripple_shape import Rhythm, find_rhythm
from beadcheck.measurements.ripple_signal import ROUNDED_DEG, CrestSignal, crest_signal
from beadcheck.measurements.ripple_spectrum import ripple_frequencies
from beadcheck.measurements.ripple_strip import Floats, Strip, seen_columns, weld_strip
from beadcheck.quantity import NotMeasured
from beadcheck.surface import Surface

SHORTEST_MM: Final = 6.0
FEWEST_FREQUENCIES: Final = 8
"""Length of weld, and number of frequencies in the range of ripples, below which no rhythm is
looked for."""

MARGIN: Final = 0.3
"""The strip reaches beyond the steady body by this part of the weld width: a crest at its very end
would be drawn inwards, by 4 % of a spacing (simulation)."""

CROWN_WIDTHS: Final = 0.18
HIGHEST_CROWN_MM: Final = 1.9
"""Height of a weld face that nothing is known of: this part of its width, this at most, and from
nothing to twice that, rectangular (common practice for beads and caps, no published source)."""

BOW_DRIFT: Final = 0.5
"""Standard uncertainty of a steady change of the crests' bow along the weld, as a part of the bow
(our estimate)."""

HALVES: Final = 0.35
"""Standard uncertainty of a crest over the distance between those of the two halves of the rows: a
little less than the half that two independent halves would give, since grooves add to it
(simulation)."""

WHITE_SPACINGS: Final = 0.02
"""Standard uncertainty of one crest even in the clearest photo, in spacings (simulation)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ripples:
    """K ripple crests, in order along the weld, at the middle of the bead.

    A crest is the highest place of a ripple. A photo shows the grooves between ripples, and the
    crests are taken midway between them: single crests may lie off by a common part of a spacing,
    which no spacing feels.

    Attributes
    ----------
    s_mm
        (K,) place on the base metal under the crest, the crown's perspective taken out.
    seen_s_mm, across_mm
        (K,) where the crest is seen, as a place on the map: for drawing.
    bow_mm
        (K,) how far a crest's ends at the toes lie ahead of its middle along the weld, seen
        squarely: pools trail their fronts, so it turns over where two runs meet.
    lean
        (K,) how far a point raised by 1 mm seems shifted along the weld, in mm.
    crown_mm, u_crown_mm
        Height of the crown that was taken out, and its standard uncertainty.
    u_s_mm
        Standard uncertainty of one crest, of its own.
    u_slow_mm
        Standard uncertainty of the crests' shift with the light, between far ends of the weld.
    spectrum_spacing_mm
        Spacing by the spectrum alone, as seen.
    doubtful
        Expected number of crests missed or counted twice.
    confidence
        0 to 1: how far the rhythm stands above chance.
    """

    s_mm: Floats
    seen_s_mm: Floats
    across_mm: Floats
    bow_mm: Floats
    lean: Floats
    crown_mm: float
    u_crown_mm: float
    u_s_mm: float
    u_slow_mm: float
    spectrum_spacing_mm: float
    doubtful: float
    confidence: float

    def __post_init__(self) -> None:
        for array in (self.s_mm, self.seen_s_mm, self.across_mm, self.bow_mm, self.lean):
            if array.shape != self.s_mm.shape:
                msg = "all crest arrays must have one shape"
                raise ValueError(msg)
            array.flags.writeable = False

    @property
    def gaps_mm(self) -> Floats:
        """(K - 1,) distances between successive crests."""
        return np.diff(self.s_mm)


def find_ripples(
    bead: BeadMap,
    surface: Surface,
    *,
    left_across_mm: Floats,
    right_across_mm: Floats,
    s_range_mm: tuple[float, float],
) -> Ripples | NotMeasured:
    """Find the ripple crests, or say why they cannot be told.

    Parameters
    ----------
    left_across_mm, right_across_mm
        (C,) toes in every column of the map, in the map's across_mm; NaN where there are none.
    s_range_mm
        The steady body of the weld.

    Returns
    -------
    Ripples or NotMeasured
        No ripples are invented on a smooth or ground face: the rows must agree with each other, and
        the rhythm must stand out of what grain and scratches reach by chance.
    """
    columns = _columns(bead, left_across_mm, right_across_mm, s_range_mm)
    if (columns.stop - columns.start) < SHORTEST_MM * bead.px_per_mm:
        return too_short()
    strip = weld_strip(
        bead, left_across_mm=left_across_mm, right_across_mm=right_across_mm, columns=columns
    )
    if np.count_nonzero(ripple_frequencies(strip)[1]) < FEWEST_FREQUENCIES:
        return too_short()
    lean = lean_along(surface, bead.axis, strip.s_mm)
    rhythm = find_rhythm(strip, lean)
    round_deg = turning_deg(surface, bead.axis, strip.s_mm)
    signal = crest_signal(rhythm, px_per_mm=strip.px_per_mm, turning_deg=round_deg)
    crests = pick_crests(
        signal,
        spacings_px=rhythm.along_mm * strip.px_per_mm,
        within_px=(
            (s_range_mm[0] - float(strip.s_mm[0])) * strip.px_per_mm,
            (s_range_mm[1] - float(strip.s_mm[0])) * strip.px_per_mm,
        ),
    )
    refusal = refusal_of(
        strip, rhythm, signal, crests, blur_px=surface.blur_px, rounded=round_deg >= ROUNDED_DEG
    )
    if refusal is not None:
        return refusal
    return _ripples(
        strip,
        rhythm,
        signal,
        crests,
        lean=lean,
        middle_mm=0.5 * (left_across_mm + right_across_mm)[columns],
    )


def _columns(
    bead: BeadMap,
    left_across_mm: Floats,
    right_across_mm: Floats,
    s_range_mm: tuple[float, float],
) -> slice:
    """Columns of the steady body, and a little beyond."""
    width_mm = np.abs(right_across_mm - left_across_mm)
    toes = np.isfinite(width_mm)
    margin_mm = MARGIN * float(np.median(width_mm[toes])) if toes.any() else 0.0
    return seen_columns(
        bead,
        0.5 * (left_across_mm + right_across_mm),
        (s_range_mm[0] - margin_mm, s_range_mm[1] + margin_mm),
    )


def _ripples(
    strip: Strip,
    rhythm: Rhythm,
    signal: CrestSignal,
    crests: Crests,
    *,
    lean: Floats,
    middle_mm: Floats,
) -> Ripples:
    """Crests in mm, with their uncertainties."""
    at = np.arange(strip.s_mm.size)
    seen_s_mm = strip.s_mm[0] + crests.x_px / strip.px_per_mm
    crest_lean = np.interp(crests.x_px, at, lean)
    crown_mm, u_crown_mm = _crown(rhythm, crest_lean, half_width_mm=strip.half_width_mm)
    spacing_mm = float(np.mean(np.diff(seen_s_mm)))
    halves_mm = HALVES * crests.halves_apart_px / strip.px_per_mm
    return Ripples(
        s_mm=seen_s_mm - crown_mm * crest_lean,
        seen_s_mm=seen_s_mm,
        across_mm=np.interp(crests.x_px, at, middle_mm),
        bow_mm=rhythm.bow_along_mm[np.rint(crests.x_px).astype(np.intp)],
        lean=crest_lean,
        crown_mm=crown_mm,
        u_crown_mm=u_crown_mm,
        u_s_mm=math.hypot(halves_mm, WHITE_SPACINGS * spacing_mm),
        u_slow_mm=_u_slow_spacings(signal.coherence) * spacing_mm,
        spectrum_spacing_mm=rhythm.spacing_mm,
        doubtful=crests.doubtful,
        confidence=min(1.0, max(0.0, (signal.strength - 1.5) / 1.0)),
    )


def _crown(rhythm: Rhythm, crest_lean: Floats, *, half_width_mm: float) -> tuple[float, float]:
    """Height of the crown and its standard uncertainty.

    What is usual, joined with what the bow of the crests says of it: a bow that grows as the weld
    is seen more aslant is perspective on a raised face. On pipe that tells the height; on plate
    hardly anything.
    """
    reach = float(np.ptp(crest_lean))
    usual_mm = min(HIGHEST_CROWN_MM, CROWN_WIDTHS * 2.0 * half_width_mm)
    usual = 3.0 / usual_mm**2
    if reach < 0.05 or not math.isfinite(rhythm.u_crown_mm):
        return usual_mm, math.sqrt(1.0 / usual)
    bow_mm = max(abs(shape.bow_mm) for shape in rhythm.shapes)
    u_seen_mm = math.hypot(rhythm.u_crown_mm, BOW_DRIFT * bow_mm / reach, 0.2)
    seen = 1.0 / u_seen_mm**2
    crown_mm = (usual_mm * usual + rhythm.shapes[0].crown_mm * seen) / (usual + seen)
    return crown_mm, math.sqrt(1.0 / (usual + seen))


def _u_slow_spacings(coherence: float) -> float:
    """Standard uncertainty of the crests' shift with the light, in spacings (simulation)."""
    return 0.08 + 0.08 * min(1.0, max(0.0, (0.7 - coherence) / 0.2))
