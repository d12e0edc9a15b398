"""What the sample photos share: picture sizes, holding the phone, laying strips and magnets."""

from pathlib import Path

import numpy as np

from samples.making.card import Lie, read_sheets
from samples.making.recipe import Laid, Magnet, View

LARGE, MIDDLE = (4032, 3024), (3264, 2448)
MODEST, SMALL = (2400, 1800), (2304, 1728)


def hold(
    size: tuple[int, int],
    focal: float,
    at: tuple[float, float],
    distance: float,
    tilt: tuple[float, float],
    roll: float,
    lens: tuple[float, float] = (0.0, 0.0),
) -> View:
    """The phone held over the metal; `tilt` is its angle and the direction it leans to."""
    return View(
        width_px=size[0],
        height_px=size[1],
        focal_equiv_mm=focal,
        at_st_mm=at,
        distance_mm=distance,
        tilt_deg=tilt[0],
        tilt_towards_deg=tilt[1],
        roll_deg=roll,
        k1=lens[0],
        k2=lens[1],
        lens_mm=0.8,
    )


def two_strips(
    targets: Path,
    *,
    clear_mm: tuple[float, float],
    s_mm: tuple[float, float],
    angles: tuple[float, float],
    ink_mm: float,
) -> tuple[Laid, ...]:
    """Strips A and B above and below the weld, so far from the middle line."""
    above, below = read_sheets(targets / "plate-strips.toml")
    return (
        Laid(
            sheet=above,
            lie=Lie(
                s_mm=s_mm[0],
                t_mm=clear_mm[0] + 11,
                angle_deg=angles[0],
                ink_mm=ink_mm,
                lift_mm=0.03,
            ),
        ),
        Laid(
            sheet=below,
            lie=Lie(
                s_mm=s_mm[1],
                t_mm=-clear_mm[1] - 11,
                angle_deg=angles[1],
                ink_mm=ink_mm,
                lift_mm=0.05,
            ),
        ),
    )


def magnets_at(
    laid: tuple[Laid, ...], spots: tuple[tuple[int, float, float], ...]
) -> tuple[Magnet, ...]:
    """Magnets on sheets: which sheet, and where in its frame."""
    made = []
    for piece, x, y in spots:
        s, t, z = (float(v) for v in laid[piece].lie.stz_mm(laid[piece].sheet, np.array([x, y])))
        made.append(Magnet(s_mm=s, t_mm=t, z_mm=z, radius_mm=4.0, height_mm=3.0))
    return tuple(made)
