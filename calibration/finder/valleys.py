"""Weigh the signs of a valley between two beads, on rendered rings.

    python -m samples.making rings --kind nps8 --seed 8601 --beads 3 --samples 4 --shrink 2 --out A
    PYTHONPATH=. python calibration/finder/valleys.py A B C ... --shrink 2

Each folder holds one ring as `samples.making` leaves it; of one bead, it tells what is no valley.
Where a valley lies and how high is rebuilt from the ring's seed, and seen through the photo's own
solved surface, as the finder sees it. A logistic regression over the signs is printed as Python.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from beadcheck.coupon import Coupon, Shape
from beadcheck.errors import BeadcheckError
from beadcheck.measurements.layer.evidence import signs
from beadcheck.measurements.layer.strip import face_strip
from beadcheck.photo import read_photo
from beadcheck.pipeline.in_groove import found_weld
from beadcheck.pipeline.request import Request, takes_of
from beadcheck.pipeline.solved import designs_of, solved_surface
from beadcheck.target.find import find_target
from samples.making.__main__ import smaller
from samples.making.ring_coupons import Flaws
from samples.making.ring_photos import Shot, draw_ring
from samples.making.stage import set_stage

Floats = NDArray[np.float64]

NEAR_MM: Final = 0.2
FAR_MM: Final = 0.5
"""Places nearer to a valley than the first are one; farther than the second, none."""
INNER: Final = 0.85
EVERY: Final = 3
OF_ONE_BEAD: Final = 0.4
"""Weight of a photo of a single bead against one of several."""
STEEPEST_SEEN: Final = 0.4
KINDS: Final = {"NPS 8 SCH 60": "nps8", "NPS 2 SCH 80": "nps2"}


def valleys_st(weld: Any, s_mm: Floats) -> Iterator[tuple[Floats, Floats]]:
    """Place across and height of each valley: where one lane's bead ends and the next is on top."""
    lane_of = np.array([bead.lane for bead in weld.beads] + [-1])
    middles = []
    for lane in range(len(weld.lanes)):
        middle = np.full(s_mm.size, np.nan)
        for bead in weld.beads:
            if bead.lane == lane:
                between = 0.5 * np.sum(bead.toes_mm(s_mm), axis=0)
                middle = np.where(np.isfinite(between), between, middle)
        middles.append(middle)
    for k in range(len(middles) - 1):
        part = np.linspace(0.0, 1.0, 120)[:, None]
        t_mm = middles[k] + (middles[k + 1] - middles[k]) * part
        top = lane_of[weld.uppermost(np.broadcast_to(s_mm, t_mm.shape).ravel(), t_mm.ravel())]
        here = top.reshape(t_mm.shape) == k
        last = np.clip(here.shape[0] - 1 - np.argmax(here[::-1], axis=0), 0, here.shape[0] - 2)
        columns = np.arange(s_mm.size)
        place = 0.5 * (t_mm[last, columns] + t_mm[last + 1, columns])
        height = [weld.sharp_mm(s_mm[j : j + 1], place[j : j + 1])[0, 0] for j in columns]
        yield place, np.array(height)


def signs_of_photo(folder: Path, shot: Shot, request: Request) -> tuple[Floats, Floats]:
    """(N, K) signs at places of one photo's weld face, and (N,) whether each is a valley."""
    photo = read_photo(folder / f"{shot.scene.name}.jpg")
    surface = solved_surface(find_target(photo, designs_of(request)), photo, request)
    weld = found_weld(photo, surface, request, None)
    bead, toes = weld.followed.bead, weld.toes
    left, right = (
        np.interp(bead.s_mm, toes.s_mm, bead.axis.to_weld(toe)[:, 1])
        for toe in (toes.left_mm, toes.right_mm)
    )
    steady = toes.s_mm[toes.steady]
    inside = np.flatnonzero((bead.s_mm >= steady[0]) & (bead.s_mm <= steady[-1]))
    columns = slice(int(inside[0]), int(inside[-1]) + 1)
    strip = face_strip(bead, left_across_mm=left, right_across_mm=right, columns=columns)
    stage = set_stage(shot.scene)
    s_mm = np.arange(*stage.weld.s_range_mm, 0.5)
    zero = np.zeros_like(s_mm)
    foot = stage.shape.xyz_mm(np.stack([s_mm, zero, zero], axis=-1))
    up = stage.shape.xyz_mm(np.stack([s_mm, zero, zero + 1.0], axis=-1)) - foot
    sight = np.asarray(stage.camera.eye_mm) - foot
    seen = (sight * up).sum(axis=1) / np.linalg.norm(sight, axis=1) > STEEPEST_SEEN
    away_mm = np.full((strip.row.size, strip.s_mm.size), np.inf)
    for t_mm, z_mm in valleys_st(stage.weld, s_mm):
        px = stage.camera.project(stage.shape.xyz_mm(np.stack([s_mm, t_mm, z_mm], axis=-1)))
        places = bead.axis.to_weld(surface.to_mm(px))
        places = places[seen & np.isfinite(places).all(axis=1)]
        places = places[np.argsort(places[:, 0])]
        row = (np.interp(strip.s_mm, *places.T) - strip.middle_mm) / strip.half_mm
        away_mm = np.minimum(away_mm, np.abs(strip.row[:, None] - row) * strip.half_mm)
    use = (np.abs(strip.row) < INNER)[:, None] & ((away_mm < NEAR_MM) | (away_mm > FAR_MM))
    return signs(strip)[:, use].T[::EVERY], (away_mm[use] < NEAR_MM).astype(float)[::EVERY]


def fitted(x: Floats, y: Floats, weight: Floats) -> tuple[Floats, float]:
    """Weights and bias of a logistic regression (Newton's method, a little ridge)."""
    mean, spread = x.mean(axis=0), x.std(axis=0) + 1.0e-9
    columns = np.c_[(x - mean) / spread, np.ones(len(x))]
    w = np.zeros(columns.shape[1])
    for _ in range(30):
        p = 1.0 / (1.0 + np.exp(-columns @ w))
        slope = columns.T @ (weight * (y - p)) - np.r_[w[:-1], 0.0]
        bend = (columns * (weight * p * (1.0 - p))[:, None]).T @ columns + np.eye(w.size)
        w = w + np.linalg.solve(bend, slope)
    return w[:-1] / spread, float(w[-1] - (w[:-1] * mean / spread).sum())


def main() -> None:
    """Fit, and print the weights."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--shrink", type=int, default=1)
    parser.add_argument("--targets", type=Path, default=Path("calibration"))
    choice = parser.parse_args()
    xs, ys, weights = [], [], []
    for folder in choice.folders:
        truth = json.loads((folder / "ring.json").read_text("utf-8"))
        ring = draw_ring(
            folder.name,
            truth["seed"],
            kind=KINDS[truth["pipe"]],
            flaws=Flaws(**truth["flaws"]),
            targets=choice.targets,
        )
        coupon = Coupon(shape=Shape.PIPE, outside_diameter_mm=truth["outside_diameter_entered_mm"])
        for shot in ring.shots:
            photo = Path(folder, f"{shot.scene.name}.jpg")
            small = Shot(scene=smaller(shot.scene, choice.shrink), role=shot.role)
            try:
                x, y = signs_of_photo(
                    folder, small, Request(takes=takes_of([photo]), coupon=coupon)
                )
            except BeadcheckError as refusal:
                print(photo, refusal.code, file=sys.stderr)
                continue
            share = np.where(y > 0, 0.5 / max(y.sum(), 1.0), 0.5 / (1.0 - y).sum())
            weights.append(1000.0 * (share if y.any() else OF_ONE_BEAD / y.size + 0.0 * y))
            xs.append(x)
            ys.append(y)
    w, bias = fitted(np.concatenate(xs), np.concatenate(ys), np.concatenate(weights))
    print(np.array2string(w, precision=3, separator=", "), f"{bias:.3f}")


if __name__ == "__main__":
    main()
