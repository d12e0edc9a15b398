"""Whether the stated uncertainty of a station means something: stated against observed error.

    python tests/benchmarks/confidence.py SET... [--real PHOTOS] [--plot FILE.png]

Over all stations in the steady weld of every measured or refused photo, sure and unsure alike:
widths in bins of their stated standard uncertainty U / 2, and what 68 % and 95 % of them are off
by. Calibrated means that the 68 % lie on the diagonal or below it. Sets are rendered ones that
nothing was tuned on; PHOTOS are the real ones that `calibration/finder/real_welds.json` holds out,
measured without a target, in % of the weld width and against what readers drew. Photos of a set
that were taken for their heights are left out.
"""

import argparse
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from accuracy import TrueLines, request_for, truth_of
from numpy.typing import NDArray
from real_photos import covered_runs, face_mask, found_in, read_labels, station_errors

from beadcheck.pipeline import Request, measure, measure_each, takes_of

FEWEST: Final = 60
"""Stations that a bin needs."""
PANEL_PX: Final = 560
MARGIN_PX: Final = 80
Pairs = NDArray[np.float64]
"""(N, 2) stated standard uncertainty and error."""


def rendered_pairs(folders: list[Path]) -> Pairs:
    """Widths of rendered photos, in mm."""
    pairs: list[tuple[float, float]] = []
    for photo in sorted(path for folder in folders for path in folder.glob("*.jpg")):
        truth = truth_of(photo)
        if truth is None or truth.get("kind", "face") != "face" or truth.get("weld") is None:
            continue
        stations = [s for s in measure(request_for(photo, truth, None)).stations if s.steady]
        errors = np.reshape(TrueLines(truth).toe_errors_mm(stations), (-1, 2)).sum(axis=1)
        pairs += [(0.5 * s.weld_width_U_mm, e) for s, e in zip(stations, errors, strict=True)]
    return np.array(pairs)


def real_pairs(folder: Path) -> Pairs:
    """Widths of real photographs, in % of the weld's."""
    labels = [photo for photo in read_labels() if photo.held_out and photo.welds]
    request = Request(takes=takes_of(folder / photo.file for photo in labels), without_target=True)
    pairs: list[tuple[float, float]] = []
    for photo, measured in zip(labels, measure_each(request), strict=True):
        found, result = found_in(measured.result), measured.result
        pixels = measured.photos[0].photo
        if found is None or pixels is None:
            continue
        size = (pixels.height_px, pixels.width_px)
        face = face_mask(np.concatenate([found.left_px, found.right_px[::-1]]), size)
        faces = [face_mask(weld.outline_px, size) for weld in photo.welds]
        runs = [photo.welds[number] for number in covered_runs(face, faces)]
        if not runs[0].has_toes:
            continue
        errors, nearest, seen = station_errors(found, runs)
        steady = np.array([station.steady for station in result.stations])[nearest]
        label_px = np.median(np.hypot(*np.subtract(*runs[0].even_toes()).T))
        stated = np.array([s.weld_width_U_px for s in result.stations])[nearest] / label_px
        own = errors.sum(axis=0)
        known = seen & steady & np.isfinite(own)
        pairs += zip(50.0 * stated[known], 100.0 * own[known], strict=True)
    return np.array(pairs)


def binned(pairs: Pairs) -> Iterator[tuple[float, float, float, float, int]]:
    """Stated u, what 68 and 95 % are off by, the share within 2 u, and how many, bin by bin."""
    edges = np.quantile(pairs[:, 0], np.linspace(0.0, 1.0, 11))
    for low, high in pairwise(edges):
        mine = pairs[(pairs[:, 0] >= low) & (pairs[:, 0] <= high)]
        if len(mine) >= FEWEST and high > low:
            off = np.abs(mine[:, 1])
            within = float(np.mean(off <= 2.0 * mine[:, 0]))
            yield (float(mine[:, 0].mean()), *np.quantile(off, [0.68, 0.95]), within, len(mine))


def told(name: str, unit: str, pairs: Pairs) -> list[tuple[float, float, float, float, int]]:
    """Print one table."""
    rows = list(binned(pairs))
    within = np.mean(np.abs(pairs[:, 1]) <= 2.0 * pairs[:, 0])
    print(f"{name}: {len(pairs)} stations, {within:.1%} within their U")
    print(f"  stated u ({unit})   68 % off by   95 % off by   within U   stations")
    for stated, most, nearly_all, share, count in rows:
        print(f"  {stated:12.3f} {most:13.3f} {nearly_all:13.3f} {share:10.1%} {count:10d}")
    return rows


def plotted(tables: list[tuple[str, str, list]]) -> NDArray[np.uint8]:
    """Draw stated against observed, a panel for each table."""
    panels = []
    for name, unit, rows in tables:
        panel = np.full((PANEL_PX + 2 * MARGIN_PX, PANEL_PX + 2 * MARGIN_PX, 3), 255, np.uint8)
        most = 1.1 * max(max(row[0], row[1]) for row in rows)

        def at(x: float, y: float, most: float = most) -> tuple[int, int]:
            return (
                round(MARGIN_PX + PANEL_PX * x / most),
                round(MARGIN_PX + PANEL_PX * (1.0 - y / most)),
            )

        cv2.rectangle(panel, at(0.0, most), at(most, 0.0), (0, 0, 0), 1)
        cv2.line(panel, at(0.0, 0.0), at(most, most), (160, 160, 160), 2, cv2.LINE_AA)
        for share in np.linspace(0.0, 1.0, 6)[1:]:
            word = f"{share * most:.3g}"
            cv2.putText(panel, word, (at(share * most, 0)[0] - 18, 664), 0, 0.5, 0, 1, cv2.LINE_AA)
            cv2.putText(panel, word, (22, at(0, share * most)[1] + 5), 0, 0.5, 0, 1, cv2.LINE_AA)
        for stated, off, *_ in rows:
            cv2.circle(panel, at(stated, off), 8, (160, 60, 0), -1, cv2.LINE_AA)
        cv2.putText(panel, name, (MARGIN_PX, 50), 0, 0.62, 0, 1, cv2.LINE_AA)
        words = f"stated standard uncertainty of a width ({unit})"
        cv2.putText(panel, words, (MARGIN_PX, 700), 0, 0.55, 0, 1, cv2.LINE_AA)
        words = f"68 % of stations are off by less than ({unit})"
        cv2.putText(panel, words, (MARGIN_PX, 72), 0, 0.5, 0, 1, cv2.LINE_AA)
        panels.append(panel)
    return np.concatenate(panels, axis=1)


def main() -> None:
    """Read the command line, measure and compare."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("sets", type=Path, nargs="+")
    parser.add_argument("--real", type=Path)
    parser.add_argument("--plot", type=Path)
    asked = parser.parse_args()
    tables = [("Renders, with a target", "mm", rendered_pairs(asked.sets))]
    if asked.real:
        tables.append(("Real photographs, without a target", "% of width", real_pairs(asked.real)))
    rows = [(name, unit, told(name, unit, pairs)) for name, unit, pairs in tables]
    if asked.plot:
        cv2.imwrite(str(asked.plot), plotted(rows))


if __name__ == "__main__":
    main()
