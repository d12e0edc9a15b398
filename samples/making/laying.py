"""Laying targets beside welds and holding them down, drawn at random."""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from samples.making.card import Lie, Sheet
from samples.making.recipe import Laid, Magnet


def lay_sheets(
    sheets: tuple[Sheet, ...], *, clear_mm: float, rng: np.random.Generator, diameter: float | None
) -> tuple[Laid, ...]:
    """Lay a target beside the weld, on both its sides, or around it if it has a window."""
    u = rng.uniform
    bowed = diameter is None and rng.random() < 0.25
    lie = Lie(
        s_mm=u(-8, 8),
        t_mm=0.0,
        lift_mm=0.0 if diameter else u(0, 0.1),
        bow_mm=u(0.05, 0.4) if bowed else 0.0,
        ink_mm=u(0.0, 0.05),
    )
    x0, y0, x1, y1 = sheets[0].box_mm
    window = sheets[0].window_mm
    if window is not None:
        aside, up = (x0 + x1 - window[0] - window[2]) / 2, (window[1] + window[3] - y0 - y1) / 2
        turn = 180.0 * (rng.random() < 0.5)
        sign = -1 if turn else 1
        return (
            Laid(
                sheet=sheets[0],
                lie=replace(
                    lie,
                    s_mm=sign * aside,
                    t_mm=sign * up + rng.normal(0, 0.8),
                    angle_deg=turn + rng.normal(0, 0.6),
                ),
            ),
        )
    off = clear_mm + (y1 - y0) / 2
    if len(sheets) == 2:
        sign = rng.choice([-1, 1])
        turn = 0.0 if sign > 0 else 180.0
        return tuple(
            Laid(
                sheet=sheet,
                lie=replace(
                    lie,
                    s_mm=lie.s_mm + rng.normal(0, 1),
                    t_mm=float(sign * side * (off + u(0, 3))),
                    angle_deg=turn + rng.normal(0, 1.2),
                ),
            )
            for sheet, side in zip(sheets, (1, -1), strict=True)
        )
    side = rng.choice([-1, 1])
    if diameter is not None:  # the strip's upper edge faces the weld
        return (
            Laid(
                sheet=sheets[0],
                lie=replace(
                    lie,
                    s_mm=u(-0.5, 0.5) * np.pi * diameter,
                    t_mm=float(side * off),
                    angle_deg=180.0 * (side > 0),
                ),
            ),
        )
    turned = 180.0 * (rng.random() < 0.3) + (180.0 if side > 0 else 0.0)
    return (
        Laid(
            sheet=sheets[0],
            lie=replace(lie, t_mm=float(side * off), angle_deg=turned + rng.normal(0, 1.5)),
        ),
    )


def magnets_of(laid: tuple[Laid, ...], rng: np.random.Generator) -> tuple[Magnet, ...]:
    """Hold the sheets down with small round magnets half way between two markers."""
    magnets = []
    for piece in laid:
        middles = piece.sheet.corners_mm.mean(axis=1)
        side = float(np.linalg.norm(piece.sheet.corners_mm[0, 1] - piece.sheet.corners_mm[0, 0]))
        gaps = [(a + b) / 2 for a, b in pairwise(middles) if side + 12 < np.linalg.norm(b - a) < 40]
        if not gaps:
            continue
        for spot in rng.permutation(gaps)[: int(rng.integers(1, 3))]:
            s, t, z = piece.lie.stz_mm(piece.sheet, spot)
            magnets.append(
                Magnet(
                    s_mm=float(s),
                    t_mm=float(t),
                    z_mm=float(z),
                    radius_mm=rng.uniform(3, 5),
                    height_mm=rng.uniform(2, 6),
                )
            )
    return tuple(magnets)
