"""Everything worth a look in one photo, the clearest first."""

from collections.abc import Iterable, Iterator
from typing import Final

import numpy as np

from beadcheck.beadmap import BeadMap
from beadcheck.indications.candidate import Candidate, CandidateKind, Size
from beadcheck.indications.end_dip import EndDip, end_dips
from beadcheck.indications.levelled import LevelMap, level_map
from beadcheck.indications.rough_spots import WINDOW_MM, RoughSpot, rough_spots
from beadcheck.indications.size import spot_outline
from beadcheck.indications.spots import Spot, dark_spots
from beadcheck.indications.toe_lines import ToeLine, toe_lines
from beadcheck.surface import Surface
from beadcheck.toes import FollowedWeld, Toes
from beadcheck.toes.stations import LEAST_SEEN_DEG, weld_ends

LEAST_PX_PER_MM: Final = 5.0
"""Where the photo has fewer pixels to a millimetre, half a millimetre is a pixel or two, of which
nothing can be said."""
MOST_SHOWN: Final = 12
MOST_OF_A_KIND: Final = 6
"""Spatter comes in crowds; it must not crowd out a lone spot on the weld face."""
ROOM_MM: Final = 0.4
"""Between what is seen and the box drawn about it."""
LINE_END_U_MM: Final = 0.6
"""An end of a line that fades, averaged along the weld: by trial on rendered grooves."""
ROUGH_SMEAR_MM: Final = 0.5
ROUGH_U_MM: Final = 0.85
"""How much too long the averaging makes a rough spot, and how unsure its length then is: mean and
standard deviation over 128 patches of 2 to 5 mm planted into rendered photos."""
LONE_WINDOWS: Final = 1.2
"""A speck makes the metal rough as far as the window of averaging reaches about it."""
DIP_U_SHARE: Final = 0.08
"""Standard uncertainty of a dip's diameter, as a part of it: the step between the rings tried, and
its soft rim; our estimate, no published source."""


def find_candidates(weld: FollowedWeld, toes: Toes, surface: Surface) -> tuple[Candidate, ...]:
    """Places to look at on the weld face, along the toes, on the base metal and at the ends.

    Returns
    -------
    tuple of Candidate
        The clearest first, at most `MOST_SHOWN`, of one kind at most `MOST_OF_A_KIND`; none in a
        photo too coarse to show them.
    """
    px_per_mm = np.hypot(*(toes.right_px - toes.left_px).T) / toes.width_mm
    if float(np.nanmedian(px_per_mm)) < LEAST_PX_PER_MM:
        return ()
    bead = weld.bead
    level = level_map(bead, toes, surface)
    on_face, on_base = dark_spots(level)
    ends_in_view = (False, False) if weld.located_by_hand else weld_ends(weld.traced)[2]
    spots = [
        *_spots(bead, level, on_face, CandidateKind.SPOT_ON_FACE),
        *_spots(bead, level, on_base, CandidateKind.SPOT_ON_BASE),
    ]
    rough = (_rough(bead, level, spot) for spot in rough_spots(level))
    candidates = [
        *spots,
        *(each for each in rough if not any(_explains(spot, each) for spot in spots)),
        *(_line(bead, level, line) for line in toe_lines(level)),
        *(_dip(bead, dip) for dip in end_dips(level, ends_in_view)),
    ]
    return tuple(
        _clearest(
            each
            for each in candidates
            if (surface.seen_at_deg(each.corners_mm) >= LEAST_SEEN_DEG).all()
        )
    )


def _explains(spot: Candidate, rough: Candidate) -> bool:
    """Whether a lone speck makes all of a rough spot; one box about it is enough then."""
    return rough.covers(spot) and all(
        whole <= part + LONE_WINDOWS * WINDOW_MM
        for whole, part in (
            (rough.size.along_mm, spot.size.along_mm),
            (rough.size.across_mm, spot.size.across_mm),
        )
    )


def _clearest(candidates: Iterable[Candidate]) -> Iterator[Candidate]:
    shown: dict[CandidateKind, int] = {}
    ordered = sorted(candidates, key=lambda each: each.clearness, reverse=True)
    for each in ordered:
        shown[each.kind] = shown.get(each.kind, 0) + 1
        if shown[each.kind] <= MOST_OF_A_KIND:
            yield each
        if sum(min(count, MOST_OF_A_KIND) for count in shown.values()) >= MOST_SHOWN:
            return


def _spots(
    bead: BeadMap, level: LevelMap, spots: Iterable[Spot], kind: CandidateKind
) -> Iterator[Candidate]:
    """Spots whose outline is round."""
    for spot in spots:
        outline = spot_outline(
            bead, float(level.s_mm[spot.column]), float(level.across_mm[spot.row]), spot.radius_mm
        )
        if outline.is_round:
            on_base = kind is CandidateKind.SPOT_ON_BASE
            yield _candidate(
                bead,
                kind,
                s_mm=outline.s_mm,
                across_mm=outline.across_mm,
                size=outline.size,
                clearness=spot.clearness,
                side=_side(level, outline.s_mm, outline.across_mm) if on_base else None,
            )


def _rough(bead: BeadMap, level: LevelMap, spot: RoughSpot) -> Candidate:
    first, last = (float(level.s_mm[column]) for column in spot.columns)
    top, bottom = (float(level.across_mm[row]) for row in spot.rows)
    s_mm, across_mm = 0.5 * (first + last), 0.5 * (top + bottom)
    return _candidate(
        bead,
        CandidateKind.ROUGH_SPOT,
        s_mm=s_mm,
        across_mm=across_mm,
        size=Size(
            along_mm=last - first - ROUGH_SMEAR_MM,
            across_mm=bottom - top - ROUGH_SMEAR_MM,
            u_along_mm=ROUGH_U_MM,
            u_across_mm=ROUGH_U_MM,
        ),
        clearness=spot.clearness,
        side=_side(level, s_mm, across_mm),
    )


def _line(bead: BeadMap, level: LevelMap, line: ToeLine) -> Candidate:
    s_mm = 0.5 * (line.s_mm[0] + line.s_mm[1])
    length_mm = line.s_mm[1] - line.s_mm[0]
    toe_mm = level.left_mm if line.side == "left" else level.right_mm
    across_mm = float(np.interp(s_mm, level.s_mm, toe_mm)) + line.off_mm
    u_mm = np.hypot(np.sqrt(2.0) * LINE_END_U_MM, line.u_length_mm)
    run = (level.s_mm >= line.s_mm[0]) & (level.s_mm <= line.s_mm[1])
    return _candidate(
        bead,
        CandidateKind.LINE_AT_TOE,
        s_mm=s_mm,
        across_mm=across_mm,
        size=Size(
            along_mm=length_mm,
            across_mm=line.width_mm,
            u_along_mm=float(u_mm),
            u_across_mm=line.u_width_mm,
        ),
        clearness=line.clearness,
        side=line.side,
        wanders_mm=float(np.abs(toe_mm[run] + line.off_mm - across_mm).max()),
    )


def _dip(bead: BeadMap, dip: EndDip) -> Candidate:
    u_mm = DIP_U_SHARE * dip.diameter_mm
    return _candidate(
        bead,
        CandidateKind.DIP_AT_END,
        s_mm=dip.s_mm,
        across_mm=dip.across_mm,
        size=Size(
            along_mm=dip.diameter_mm,
            across_mm=dip.diameter_mm,
            u_along_mm=u_mm,
            u_across_mm=u_mm,
        ),
        clearness=dip.clearness,
        side=None,
    )


def _side(level: LevelMap, s_mm: float, across_mm: float) -> str:
    left, right = (np.interp(s_mm, level.s_mm, toe) for toe in (level.left_mm, level.right_mm))
    return "left" if across_mm < 0.5 * (left + right) else "right"


def _candidate(
    bead: BeadMap,
    kind: CandidateKind,
    *,
    s_mm: float,
    across_mm: float,
    size: Size,
    clearness: float,
    side: str | None,
    wanders_mm: float = 0.0,
) -> Candidate:
    along = 0.5 * size.along_mm + ROOM_MM
    across = 0.5 * size.across_mm + ROOM_MM + wanders_mm
    return Candidate(
        kind=kind,
        s_mm=s_mm,
        across_mm=across_mm,
        side=side,
        size=size,
        corners_mm=bead.axis.to_surface(
            s_mm + along * np.array([-1.0, 1.0, 1.0, -1.0]),
            across_mm + across * np.array([-1.0, -1.0, 1.0, 1.0]),
        ),
        clearness=clearness,
    )
