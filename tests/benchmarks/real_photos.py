"""How well the weld is found on real photographs, held out from training, without any target.

    python tests/benchmarks/real_photos.py PHOTOS [--against COMMIT] [--all] [--sheet FOLDER]

PHOTOS holds the photographs that `calibration/finder/real_welds.json` labels: github
AbdulazizAnorboev/weld-defect-segmentation at commit c359852c (MIT), long side 1024 px, read by eye.
Each is measured as `beadcheck measure --no-target` does, and compared with the labels; in the same
run so are the networks of an earlier commit (`--against`), a plain threshold by Otsu with
morphology, and, where there is one, a second reading of the same photograph.

For each photo: the share of the label's stations, a tenth of the width apart, at which both toes
lie within 6 % of the bead's width of the reader's (no toe there counts as a miss); the same at the
stations called sure; and intersection over union of the weld face between the toes.
"""

import argparse
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from beadcheck.finder import onnx_model
from beadcheck.pipeline import Request, measure_each, takes_of
from beadcheck.result import Result

FINDER: Final = Path(__file__).parents[2] / "calibration" / "finder"
sys.path.insert(0, str(FINDER))

from real_welds import RealPhoto, RealWeld, read_labels  # noqa: E402  # the training code's own

NEAR_SHARE: Final = 0.06
STATION_WIDTHS: Final = 0.1
COVERED_SHARE: Final = 0.6
NETWORKS: Final = ("bead_finder.onnx", "toe_placer.onnx")
Line = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """One answer for one photo: both toes in order along the weld, and which stations are sure."""

    left_px: Line
    right_px: Line
    sure: Mask


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """Figures of one photo; shares are of 1."""

    near: float
    one_near: float
    near_sure: float
    sure: float
    overlap: float


def found_in(result: Result) -> Found | None:
    """Toes of a measured photo; None where it was refused before there were any."""
    stations = result.stations
    if len(stations) < 3:
        return None
    return Found(
        left_px=np.array([station.left_toe_px for station in stations]),
        right_px=np.array([station.right_toe_px for station in stations]),
        sure=np.array([station.sure for station in stations]),
    )


def by_reader(weld: RealWeld) -> Found:
    """A reader's toes, as if they had been measured."""
    first, second = weld.even_toes()
    return Found(left_px=first, right_px=second, sure=np.ones(len(first), dtype=bool))


def by_threshold(picture: NDArray[np.uint8]) -> Found | None:
    """Otsu's threshold, opened and closed; the longest slender patch of either polarity."""
    grey = cv2.GaussianBlur(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), (0, 0), 2.0)
    _, bright = cv2.threshold(grey, 0, 255, cv2.THRESH_BINARY | cv2.THRESH_OTSU)
    best: tuple[float, Mask] | None = None
    for mask in (bright, 255 - bright):
        opened = cv2.morphologyEx(mask, cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
        closed = cv2.morphologyEx(opened, cv2.MORPH_CLOSE, np.ones((15, 15), np.uint8))
        count, labels, figures, _ = cv2.connectedComponentsWithStats(closed)
        for label in range(1, count):
            rows, columns = np.nonzero(labels == label)
            if figures[label, cv2.CC_STAT_AREA] < 500:
                continue
            spread = np.sqrt(12 * np.linalg.eigvalsh(np.cov(np.stack([columns, rows]))))
            if spread[1] > 2.5 * spread[0] and (best is None or spread[1] > best[0]):
                best = (float(spread[1]), labels == label)
    return None if best is None else _edges(best[1])


def _edges(mask: Mask) -> Found:
    """Upper and lower edge of a patch along its longer way."""
    turned = mask if np.ptp(np.nonzero(mask)[1]) >= np.ptp(np.nonzero(mask)[0]) else mask.T
    columns = np.flatnonzero(turned.any(axis=0))
    first = turned.argmax(axis=0)[columns]
    last = turned.shape[0] - 1 - turned[::-1].argmax(axis=0)[columns]
    lines = [np.stack([columns, rows], axis=1).astype(np.float64) for rows in (first, last)]
    if turned is not mask:
        lines = [line[:, ::-1] for line in lines]
    return Found(left_px=lines[0], right_px=lines[1], sure=np.ones(columns.size, dtype=bool))


def scored(found: Found | None, photo: RealPhoto, size: tuple[int, int]) -> Score:
    """Compare an answer with the labelled weld that it covers most."""
    if found is None:
        return Score(near=0.0, one_near=0.0, near_sure=np.nan, sure=0.0, overlap=0.0)
    face = face_mask(np.concatenate([found.left_px, found.right_px[::-1]]), size)
    faces = [face_mask(weld.outline_px, size) for weld in photo.welds]
    mine = covered_runs(face, faces)
    true = np.any([faces[number] for number in mine], axis=0)
    # Other welds and what no reader could judge count neither for nor against.
    spared = np.any([face_mask(outline, size) for outline in photo.ignored_px], axis=0)
    spared |= np.any([each for number, each in enumerate(faces) if number not in mine], axis=0)
    either = (face | true) & ~(spared & ~true)
    overlap = np.count_nonzero(face & true) / max(1, np.count_nonzero(either))
    weld = photo.welds[mine[0]]
    if not weld.has_toes:
        return Score(near=0.0, one_near=0.0, near_sure=np.nan, sure=0.0, overlap=overlap)
    errors, nearest, seen = station_errors(found, [photo.welds[number] for number in mine])
    sure = found.sure[nearest] & np.isfinite(errors[0])
    with np.errstate(invalid="ignore"):
        toes_near = np.abs(errors) <= NEAR_SHARE
    near = toes_near.all(axis=0)
    return Score(
        near=float(near[seen].mean()) if seen.any() else np.nan,
        one_near=float(toes_near[:, seen].mean()) if seen.any() else np.nan,
        near_sure=float(toes_near[:, seen & sure].mean()) if (seen & sure).any() else np.nan,
        sure=float(sure[seen].mean()) if seen.any() else np.nan,
        overlap=overlap,
    )


def covered_runs(face: Mask, faces: Sequence[Mask]) -> list[int]:
    """Numbers of the labelled runs that an answer means, the one that it covers most first.

    Labelled runs that lie side by side under one answer count as one weld face with it: runs that
    touch have their toes outside.
    """
    covered = [np.count_nonzero(face & each) for each in faces]
    main = int(np.argmax(covered))
    beside = [
        number
        for number, each in enumerate(faces)
        if number != main and covered[number] >= COVERED_SHARE * np.count_nonzero(each)
    ]
    return [main, *beside]


def station_errors(
    found: Found, runs: Sequence[RealWeld]
) -> tuple[NDArray[np.float64], NDArray[np.int_], Mask]:
    """At each station of a label: errors, the station found nearest, whether the label is sure.

    Errors, (2, N), of both toes count outward in widths of the first run; NaN where no toe was
    found.
    """
    first, second = runs[0].even_toes()
    middle = 0.5 * (first + second)
    width_px = float(np.median(np.hypot(*(second - first).T)))
    lengths = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(middle, axis=0).T))])
    at = np.arange(0.0, lengths[-1], max(1.0, STATION_WIDTHS * width_px))
    feet = np.stack([np.interp(at, lengths, middle[:, i]) for i in (0, 1)], axis=1)
    ahead = np.gradient(_smooth(feet), axis=0)
    square = np.stack([-ahead[:, 1], ahead[:, 0]], axis=1) / np.hypot(*ahead.T)[:, None]

    def ends(lines: Sequence[Line]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        crossed = np.stack([_crossings(line, feet, square, 3.0 * width_px) for line in lines])
        known = np.isfinite(crossed).sum(axis=0) >= 2
        low = np.where(known, np.nanmin(np.where(known, crossed, 0.0), axis=0), np.nan)
        return low, np.where(known, np.nanmax(np.where(known, crossed, 0.0), axis=0), np.nan)

    low, high = ends([found.left_px, found.right_px])
    true_low, true_high = ends([toe for run in runs if run.has_toes for toe in run.even_toes()])
    errors = np.stack([true_low - low, high - true_high]) / width_px
    nearest = np.hypot(
        *(0.5 * (found.left_px + found.right_px)[None] - feet[:, None]).transpose(2, 0, 1)
    ).argmin(axis=1)
    seen = np.isfinite(true_low)
    for area in [area for run in runs for area in run.unsure_px]:
        outline = area.astype(np.float32)
        inside = [
            cv2.pointPolygonTest(outline, (float(x), float(y)), measureDist=False) for x, y in feet
        ]
        seen &= np.array(inside) < 0
    return errors, nearest, seen


def _smooth(line: Line) -> Line:
    kernel = np.ones(9) / 9
    padded = np.pad(line, ((4, 4), (0, 0)), mode="edge")
    return np.stack([np.convolve(padded[:, i], kernel, mode="valid") for i in (0, 1)], axis=1)


def _crossings(line: Line, feet: Line, square: Line, reach_px: float) -> NDArray[np.float64]:
    """Where a line crosses the square through each foot: signed distance, NaN where it does not."""
    start, step = line[:-1], np.diff(line, axis=0)
    away = start[None] - feet[:, None]
    across = square[:, None]
    turn = step[None, :, 0] * across[..., 1] - step[None, :, 1] * across[..., 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = -(away[..., 0] * across[..., 1] - away[..., 1] * across[..., 0]) / turn
    hit = (share >= 0.0) & (share <= 1.0)
    place = away + np.where(hit, share, 0.0)[..., None] * step[None]
    distance = (place * across).sum(axis=2)
    distance[~hit | (np.abs(distance) > reach_px)] = np.inf
    nearest = np.abs(distance).argmin(axis=1)
    found = distance[np.arange(len(feet)), nearest]
    return np.where(np.isfinite(found), found, np.nan)


def face_mask(outline: Line, size: tuple[int, int]) -> Mask:
    mask = np.zeros(size, np.uint8)
    cv2.fillPoly(mask, [np.round(outline).astype(np.int32)], 1)
    return mask > 0


@contextmanager
def networks_of(commit: str | None) -> Iterator[None]:
    """Let the shipped networks be those of an earlier commit for a while."""
    if commit is None:
        yield
        return
    kept = onnx_model.shipped_model
    models = {}
    for name in NETWORKS:
        # The file's own name may have changed since, its folder has not.
        file = subprocess.run(  # a fixed command; the commit is the caller's own
            ["git", "show", f"{commit}:beadcheck/finder/{name}"],
            capture_output=True,
            check=True,
            cwd=FINDER,
        ).stdout
        models[name] = onnx_model.OnnxModel(contents=np.frombuffer(file, dtype=np.uint8))
    from beadcheck.finder import network, placer  # noqa: PLC0415  # patched here alone

    network.shipped_model = placer.shipped_model = models.__getitem__  # type: ignore[assignment]
    try:
        yield
    finally:
        network.shipped_model = placer.shipped_model = kept


def told(name: str, scores: Sequence[Score]) -> None:
    """Print one line of figures."""
    near, one_near, near_sure, sure, overlap = (
        np.array([getattr(score, field) for score in scores])
        for field in ("near", "one_near", "near_sure", "sure", "overlap")
    )
    print(
        f"{name:<22} {len(scores):3d} photos | toe within 6 %: {np.nanmean(one_near):.3f} of "
        f"stations ({np.nanmean(near_sure):.3f} of the sure ones), both at {np.nanmean(near):.3f} "
        f"({np.nanmean(sure):.2f} sure) | overlap median {np.median(overlap):.3f} mean "
        f"{overlap.mean():.3f}, below 0.5: {np.mean(overlap < 0.5):.3f}"
    )


def draw(
    picture: NDArray[np.uint8], photo: RealPhoto, found: Found | None, words: str
) -> NDArray[np.uint8]:
    """Label in green, answer in red, stations that are not sure in yellow."""
    shown = picture.copy()
    for weld in photo.welds:
        cv2.polylines(shown, [np.round(weld.outline_px).astype(np.int32)], True, (0, 220, 0), 1)
    for outline in photo.ignored_px:
        cv2.polylines(shown, [np.round(outline).astype(np.int32)], True, (220, 120, 0), 1)
    if found is not None:
        for line in (found.left_px, found.right_px):
            cv2.polylines(shown, [np.round(line).astype(np.int32)], False, (0, 0, 255), 1)
            for point in line[~found.sure]:
                cv2.circle(shown, tuple(np.round(point).astype(int).tolist()), 1, (0, 255, 255), -1)
    cv2.putText(shown, words, (6, shown.shape[0] - 8), 0, 0.7, (0, 255, 255), 2)
    return shown


def main() -> None:
    """Read the command line, measure and compare."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("photos", type=Path)
    parser.add_argument("--against", help="commit whose networks are compared")
    parser.add_argument("--all", action="store_true", help="trained-on photographs too")
    parser.add_argument("--sheet", type=Path, help="folder for pictures of answers and labels")
    asked = parser.parse_args()
    labels = [photo for photo in read_labels() if (asked.all or photo.held_out) and photo.welds]
    pictures = {
        photo.file: np.asarray(cv2.imread(str(asked.photos / photo.file)), np.uint8)
        for photo in labels
    }
    sizes = {file: picture.shape[:2] for file, picture in pictures.items()}

    def measured(commit: str | None) -> dict[str, Found | None]:
        with networks_of(commit):
            request = Request(
                takes=takes_of(asked.photos / photo.file for photo in labels), without_target=True
            )
            return {
                each.result.photos[0].file: found_in(each.result) for each in measure_each(request)
            }

    ways: dict[str, Callable[[], dict[str, Found | None]]] = {
        "this finder": lambda: measured(None),
        "Otsu and morphology": lambda: {f: by_threshold(p) for f, p in pictures.items()},
    }
    if asked.against:
        ways[f"finder of {asked.against[:10]}"] = lambda: measured(asked.against)
    for name, way in ways.items():
        answers = way()
        scores = [scored(answers[photo.file], photo, sizes[photo.file]) for photo in labels]
        told(name, scores)
        if name == "this finder" and asked.sheet:
            asked.sheet.mkdir(parents=True, exist_ok=True)
            for photo, score in zip(labels, scores, strict=True):
                words = f"{photo.file} near {score.near:.2f} overlap {score.overlap:.2f}"
                shown = draw(pictures[photo.file], photo, answers[photo.file], words)
                cv2.imwrite(str(asked.sheet / photo.file), shown)
    twice = [photo for photo in labels if photo.second_reading]
    again = [photo for photo in twice if photo.second_reading[0].has_toes]
    told(
        "second reading",
        [scored(by_reader(p.second_reading[0]), p, sizes[p.file]) for p in again],
    )


if __name__ == "__main__":
    main()
