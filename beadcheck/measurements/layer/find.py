"""Find the valleys between the beads of a layer, or none where the weld is one bead."""

from typing import Final

import numpy as np
from scipy.ndimage import gaussian_filter1d

from beadcheck.beadmap import BeadMap
from beadcheck.measurements.layer.evidence import valley_evidence
from beadcheck.measurements.layer.follow import Line, follow_valleys
from beadcheck.measurements.layer.layer import Layer, NoLayer, Valley
from beadcheck.measurements.layer.strip import FaceStrip, Floats, face_strip
from beadcheck.measurements.layer.widths import bead_widths
from beadcheck.measurements.lean import lean_across
from beadcheck.surface import Surface
from beadcheck.toes import Toes

FEWEST_TOLD: Final = 3
MOST_TOLD: Final = 6
"""Beads that a photo tells by itself. Two look too much like one with a line of glare along its
crest, which reaches log odds of 3; more than six must be entered too."""
CLEAR_ODDS: Final = 1.5
"""Least mean log odds of every valley that a photo tells by itself: on rendered caps of three beads
the fainter of both reaches 2.1 and more, on single beads the second best line 1.1 at most."""
LEAST_OUTER: Final = 0.5
"""Least visible width of the outermost beads that a photo tells by itself, in mean bead widths.
Laid half over the one before, the outermost of three still show 0.75; a line nearer to the toe than
this is the toe's own edge, which on a single bead reaches log odds of 1.7 all along."""
ASKED_ODDS: Final = 0.9
"""The same where the number of beads was entered."""
LOCAL_COLUMNS: Final = 6.0
LOCAL_ODDS: Final = 1.0
"""Where the log odds, smoothed over 3 mm, stay below this, the valley is not seen."""
U_BY_ODDS: Final = ((1.0, 0.30), (2.0, 0.20), (3.0, 0.12))
"""Log odds, and the standard uncertainty in mm of a valley there: what 68 % of places are off by
on rendered caps, rounded up."""
HEIGHT_BEADS: Final = 0.28
HIGHEST_MM: Final = 1.6
"""Height of a valley over the base metal that nothing is known of: this part of a bead's width,
this at most, and from nothing to twice that, rectangular (common practice for caps, no published
source)."""
LEAST_PX_PER_MM: Final = 7.0
LEAST_MM: Final = 15.0
"""Pixels, and length of steady weld, below which valleys are not told from ripples and glare."""


def find_layer(
    bead: BeadMap, surface: Surface, toes: Toes, *, entered: int | None
) -> Layer | NoLayer | None:
    """Find the beads side by side.

    Parameters
    ----------
    entered
        How many beads somebody says there are; None leaves it to the photo.

    Returns
    -------
    Layer, NoLayer or None
        None where the weld is one bead, by the photo or as entered.
    """
    if entered == 1:
        return None
    s_mm = toes.s_mm[toes.steady]
    too_little = _too_little(bead, float(np.ptp(s_mm)))
    if too_little is not None:
        return None if entered is None else too_little
    strip = _strip(bead, toes, s_mm)
    evidence = valley_evidence(strip)
    lines = _by_evidence(evidence, strip)
    seen_count = len(lines) + 1
    if entered is not None and entered != seen_count:
        lines = follow_valleys(evidence, strip.row, entered - 1)
        faint = sum(float(line.evidence.mean()) < ASKED_ODDS for line in lines)
        if faint:
            return _not_seen(entered, faint)
    if not lines:
        return None
    valleys = _valleys(lines, strip, bead, surface, s_mm)
    beads = bead_widths(valleys, toes)
    if not any(each.quantities for each in beads):
        return None if entered is None else _not_seen(entered, len(lines))
    return Layer(s_mm=s_mm, seen_count=seen_count, valleys=valleys, beads=beads)


def _too_little(bead: BeadMap, length_mm: float) -> NoLayer | None:
    if bead.px_per_mm < LEAST_PX_PER_MM:
        return NoLayer(
            reason=f"The photo shows {bead.px_per_mm:.1f} pixels per mm; {LEAST_PX_PER_MM:.0f} "
            "are needed to tell beads side by side apart.",
            how_to="Come closer.",
        )
    if length_mm < LEAST_MM:
        return NoLayer(
            reason=f"Only {length_mm:.0f} mm of the weld's steady body are in view; "
            f"{LEAST_MM:.0f} are needed to follow the valleys between beads.",
            how_to="Step back or move along, so that more of the weld is in the picture.",
        )
    return None


def _not_seen(entered: int, faint: int) -> NoLayer:
    which = "1 of the valleys" if faint == 1 else f"{faint} of the valleys"
    return NoLayer(
        reason=f"{entered} beads side by side were entered, but {which} between them cannot be "
        "seen.",
        how_to="Let the light come from one side, across the weld, and keep glare off it; or count "
        "the beads again.",
    )


def _strip(bead: BeadMap, toes: Toes, s_mm: Floats) -> FaceStrip:
    left, right = (
        np.interp(bead.s_mm, toes.s_mm, bead.axis.to_weld(toe)[:, 1])
        for toe in (toes.left_mm, toes.right_mm)
    )
    inside = np.flatnonzero((bead.s_mm >= s_mm[0]) & (bead.s_mm <= s_mm[-1]))
    return face_strip(
        bead,
        left_across_mm=left,
        right_across_mm=right,
        columns=slice(int(inside[0]), int(inside[-1]) + 1),
    )


def _by_evidence(evidence: Floats, strip: FaceStrip) -> tuple[Line, ...]:
    """As many valleys as all stand out clearly, two or more; else none."""
    found: tuple[Line, ...] = ()
    for count in range(FEWEST_TOLD - 1, MOST_TOLD):
        outer = LEAST_OUTER / (count + 1)
        lines = follow_valleys(evidence, strip.row, count, least_outer=outer)
        if min(float(line.evidence.mean()) for line in lines) < CLEAR_ODDS:
            break
        found = lines
    return found


def _valleys(
    lines: tuple[Line, ...], strip: FaceStrip, bead: BeadMap, surface: Surface, s_mm: Floats
) -> tuple[Valley, ...]:
    """Lines of the strip as places on the metal."""
    half_mm, middle_mm = (
        np.interp(s_mm, strip.s_mm, values) for values in (strip.half_mm, strip.middle_mm)
    )
    bead_mm = 2.0 * float(np.median(half_mm)) / (len(lines) + 1)
    height_mm = min(HIGHEST_MM, HEIGHT_BEADS * bead_mm)
    odds, u_mm = zip(*U_BY_ODDS, strict=True)
    found = []
    for line in lines:
        row = np.interp(line.at_row, np.arange(strip.row.size), strip.row)
        across_mm = middle_mm + half_mm * np.interp(s_mm, strip.s_mm, row)
        lean = lean_across(surface, bead.axis, s_mm, across_mm)
        local = gaussian_filter1d(line.evidence, LOCAL_COLUMNS, mode="nearest")
        local = np.interp(s_mm, strip.s_mm, local)
        found.append(
            Valley(
                seen_mm=bead.axis.to_surface(s_mm, across_mm),
                under_mm=bead.axis.to_surface(s_mm, across_mm - height_mm * lean),
                u_mm=np.interp(local, odds, u_mm),
                shift_u_mm=height_mm / np.sqrt(3.0) * lean,
                clear=local >= LOCAL_ODDS,
            )
        )
    return tuple(found)
