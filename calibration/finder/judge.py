"""Judge the shipped bead finder on photos whose toes are known exactly.

    python calibration/finder/judge.py FOLDER [--only NUMBER ...] [--sheet FILE.png]

FOLDER holds pictures, each with a JSON of its truth that has `weld.toes` (`lo_px`, `hi_px` as x, y
in the upright photo, `s_mm`), or a null weld. Each weld is cut out as a strip 70 px wide between
the toes, laid a little askew; printed are the 0.5 contour's errors, outward positive, and how much
weld the finder sees in the pictures without one.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from render_set import scene_number

from beadcheck.finder import weld_likelihood

WELD_PX = 70.0
HALF_STRIP = 2.0  # of the weld's width, from its middle
WHOLE_SIDE_PX = 512


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Strip:
    """A weld laid level, with the true rows of both toes in each column."""

    pixels_bgr: NDArray[np.uint8]
    low_row: NDArray[np.float64]
    high_row: NDArray[np.float64]
    mm_per_px: float


def cut_strip(photo: NDArray[np.uint8], toes: dict[str, list[list[float]]], seed: int) -> Strip:
    """Cut the strip along a line laid a little askew through the weld."""
    kept = np.array(toes.get("in_view", np.ones(len(toes["lo_px"]))), bool)
    low, high = np.array(toes["lo_px"], float)[kept], np.array(toes["hi_px"], float)[kept]
    s_mm = np.array(toes["s_mm"], float)[kept]
    middle, width = (low + high) / 2, float(np.median(np.hypot(*(high - low).T)))
    length = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(middle, axis=0).T))])
    scale = WELD_PX / width
    columns = np.arange(0, length[-1] * scale) / scale
    line = np.stack([np.polyval(np.polyfit(length, middle[:, i], 3), columns) for i in (0, 1)], 1)
    ahead = np.gradient(line, axis=0)
    across = np.stack([-ahead[:, 1], ahead[:, 0]], axis=1) / np.hypot(*ahead.T)[:, None]
    if np.sum(across * np.mean(high - low, axis=0)) < 0:
        across = -across
    rng = np.random.default_rng(seed)
    lay = rng.uniform(-0.2, 0.2) * width + rng.uniform(-0.06, 0.06) * (columns - columns.mean())
    base = line + across * lay[:, None]
    rows = np.arange(-HALF_STRIP * WELD_PX, HALF_STRIP * WELD_PX + 1) / scale
    place = (base[None] + rows[:, None, None] * across[None]).astype(np.float32)
    shrunk = cv2.GaussianBlur(photo, (0, 0), 0.4 / scale) if scale < 1 else photo
    strip = cv2.remap(shrunk, place[..., 0], place[..., 1], cv2.INTER_LINEAR)
    truth = []
    for toe in (low, high):
        along = np.array([np.argmin(np.hypot(*(base - point).T)) for point in toe])
        off = np.sum((toe - base[along]) * across[along], axis=1) * scale + HALF_STRIP * WELD_PX
        order = np.argsort(along, kind="stable")
        truth.append(np.interp(np.arange(len(columns)), along[order], off[order]))
    mm_per_px = float(abs(s_mm[-1] - s_mm[0]) / len(columns))
    return Strip(pixels_bgr=strip, low_row=truth[0], high_row=truth[1], mm_per_px=mm_per_px)


def contour_rows(likely: NDArray[np.float32], middle: NDArray[np.float64]) -> NDArray[np.float64]:
    """First rows above and below the middle where 0.5 is crossed, (2, C); NaN where never."""
    found = np.full((2, likely.shape[1]), np.nan)
    for column in range(likely.shape[1]):
        start = round(float(np.clip(middle[column], 0, likely.shape[0] - 1)))
        for side, step in enumerate((-1, 1)):
            row = start
            while 0 <= row + step < likely.shape[0] and likely[row + step, column] >= 0.5:
                row += step
            if likely[start, column] >= 0.5 and 0 <= row + step < likely.shape[0]:
                inside, outside = likely[row, column], likely[row + step, column]
                found[side, column] = row + step * (inside - 0.5) / (inside - outside)
    return found


def figures(errors_px: NDArray[np.float64], mm_per_px: float) -> str:
    """Share found, signed median, spread and tail of toe errors, in px of the strip and in mm."""
    seen = errors_px[np.isfinite(errors_px)]
    if not seen.size:
        return "not found"
    middle = np.median(seen)
    spread, tail = np.median(np.abs(seen - middle)), np.quantile(np.abs(seen), 0.9)
    return (
        f"found {np.mean(np.isfinite(errors_px)):4.2f} | px: median {middle:+6.2f} "
        f"MAD {spread:5.2f} p90 {tail:6.2f} | mm: "
        f"median {middle * mm_per_px:+6.3f} MAD {spread * mm_per_px:5.3f} "
        f"p90 {tail * mm_per_px:6.3f}"
    )


def whole_picture(photo: NDArray[np.uint8], toes: dict[str, list[list[float]]] | None) -> str:
    """How the finder does on the whole photo, shrunk: stations found, weld seen elsewhere."""
    scale = WHOLE_SIDE_PX / max(photo.shape[:2])
    small = cv2.resize(photo, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    weld = weld_likelihood(small) > 0.5
    if toes is None:
        return f"no weld there; seen as weld {100 * weld.mean():.2f} %"
    low, high = np.array(toes["lo_px"], float) * scale, np.array(toes["hi_px"], float) * scale
    known = np.isfinite(low).all(axis=1) & np.isfinite(high).all(axis=1)
    low, high = low[known], high[known]
    outline = np.round(np.concatenate([low, high[::-1]])).astype(np.int32)
    truth = cv2.fillPoly(np.zeros(weld.shape, np.uint8), [outline], 1)
    elsewhere = weld & (cv2.dilate(truth, np.ones((9, 9), np.uint8)) == 0)
    middle = np.round((low + high) / 2).astype(int)
    inside = ((middle >= 0) & (middle < np.array(weld.shape)[::-1])).all(axis=1)
    hit = weld[middle[inside, 1], middle[inside, 0]].mean()
    return (
        f"whole photo: {100 * hit:3.0f} % of the line found, {100 * elsewhere.mean():.2f} % false"
    )


def judge(folder: Path, only: Sequence[int], sheet: Path | None) -> None:
    """Print the figures of every picture in a folder, or of some, and of all together."""
    every_px, every_mm, tiles = [], [], []
    for truth_file in sorted(folder.glob("*.json")):
        if only and scene_number(truth_file) not in only:
            continue
        photo = cv2.imread(str(truth_file.with_suffix(".jpg")))
        weld = json.loads(truth_file.read_text()).get("weld") if photo is not None else {}
        toes = weld.get("toes") if weld else None
        if photo is None or (weld and not toes):
            continue
        whole = whole_picture(photo, toes)
        if toes is None:
            print(f"{truth_file.stem:6s} {whole}")
            continue
        strip = cut_strip(photo, toes, seed=len(every_px))
        likely = weld_likelihood(strip.pixels_bgr)
        found = contour_rows(likely, (strip.low_row + strip.high_row) / 2)
        body = slice(int(WELD_PX), -int(WELD_PX))
        errors = np.stack([strip.low_row - found[0], found[1] - strip.high_row])[:, body].ravel()
        print(f"{truth_file.stem:6s} {figures(errors, strip.mm_per_px)} | {whole}")
        every_px.append(errors)
        every_mm.append(errors * strip.mm_per_px)
        tiles.append(drawn(strip, found, truth_file.stem))
    if every_px:
        in_px, in_mm = (np.concatenate(every) for every in (every_px, every_mm))
        print(f"all, in px: {figures(in_px, 1.0).split(' | mm')[0]}")
        print(f"all, in mm: {figures(in_mm, 1.0).split(' | mm')[0]}")
    if sheet and tiles:
        widest = max(tile.shape[1] for tile in tiles)
        padded = [np.pad(t, ((0, 4), (0, widest - t.shape[1]), (0, 0))) for t in tiles]
        cv2.imwrite(str(sheet), np.vstack(padded))


def drawn(strip: Strip, found: NDArray[np.float64], name: str) -> NDArray[np.uint8]:
    """Draw the strip with its true toes (green) and those found (red)."""
    shown = strip.pixels_bgr.copy()
    for rows, colour in (
        (strip.low_row, (0, 255, 0)),
        (strip.high_row, (0, 255, 0)),
        (found[0], (0, 0, 255)),
        (found[1], (0, 0, 255)),
    ):
        for column in np.flatnonzero(np.isfinite(rows)):
            row = round(float(rows[column]))
            if 0 <= row < shown.shape[0]:
                shown[row, column] = colour
    cv2.putText(shown, name, (4, 16), cv2.FONT_HERSHEY_SIMPLEX, 0.5, (0, 255, 255), 1)
    return shown


def main() -> None:
    """Read the command line and judge."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--only", type=int, nargs="+", default=(), help="scenes of these numbers")
    parser.add_argument("--sheet", type=Path, help="write the strips with both toes drawn in")
    asked = parser.parse_args()
    judge(asked.folder, asked.only, asked.sheet)


if __name__ == "__main__":
    main()
