"""How near to the truth, and how true the stated uncertainty, on rendered photos.

Measures every photo of one or more folders that has a truth file beside it (``NAME.json``, or
``truth/NAME.json``) and prints, for each photo and over all of them: the error of the mean width,
how many stations are sure, how near their toes lie to the true toe lines, the ripple spacing, and
for each quantity the share of photos with abs(error) <= U with its 95 % binomial interval.

Run it as ``python tests/benchmarks/accuracy.py FOLDER... [--target FILE.toml] [--csv FILE]``.
A truth file names its own target file unless ``--target`` is given.
"""

import argparse
import csv
import json
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.stats import binomtest

from beadcheck.coupon import Coupon, Process, Shape
from beadcheck.pipeline import Request, measure, takes_of
from beadcheck.result import Result

STATION_TOLERANCE_MM = 0.35
SHIPPED = Path(__file__).parents[2] / "calibration"


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One quantity of one photo against the truth."""

    name: str
    value: float
    truth: float
    expanded_uncertainty: float

    @property
    def error(self) -> float:
        return self.value - self.truth

    @property
    def covered(self) -> bool:
        return abs(self.error) <= self.expanded_uncertainty


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One photo against its truth; shares are NaN where the photo was refused."""

    file: str
    has_weld: bool
    measured: bool
    problem: str
    sure_share: float
    toes_near_share: float
    toe_errors_mm: tuple[float, ...]
    compared: tuple[Compared, ...]
    beads_told: int
    """Side by side; 1 where the weld is told as one bead."""


def judged(photo: Path, truth: dict, target: Path | None) -> Judged:
    """Measure one photo and hold it against its truth."""
    result = measure(request_for(photo, truth, target))
    weld = truth.get("weld")
    sure_share = near_share = float("nan")
    errors: tuple[float, ...] = ()
    compared: tuple[Compared, ...] = ()
    measured = bool(result.photos[0].usable)
    if measured and weld is not None:
        line = TrueLines(truth)
        steady = [s for s in result.stations if s.steady]
        sure = [s for s in steady if s.sure]
        sure_share = len(sure) / max(1, len(steady))
        errors = tuple(line.toe_errors_mm(sure))
        pairs = np.abs(np.array(errors)).reshape(-1, 2).max(axis=1)
        near_share = float((pairs <= STATION_TOLERANCE_MM).mean()) if pairs.size else 0.0
        compared = tuple(line.compared(result))
    return Judged(
        file=photo.name,
        has_weld=weld is not None,
        measured=measured,
        problem="; ".join(p.code for p in result.photos[0].problems),
        sure_share=sure_share,
        toes_near_share=near_share,
        toe_errors_mm=errors,
        compared=compared,
        beads_told=result.layers[0].count if result.layers else 1,
    )


def request_for(photo: Path, truth: dict, target: Path | None) -> Request:
    """Measure as the welder would: shape, size and process entered, print scale unknown."""
    diameter = truth["surface"].get("outside_diameter_mm")
    process = truth.get("process") if truth.get("process") in set(Process) else None
    names = [card["target_file"] for card in truth.get("cards", ())]
    places = [folder / name for folder in (photo.parent / "targets", SHIPPED) for name in names]
    return Request(
        takes=takes_of((photo,)),
        coupon=Coupon(
            shape=Shape.PIPE if diameter else Shape.PLATE,
            outside_diameter_mm=diameter,
            process=None if process is None else Process(process),
        ),
        target=target or next((place for place in places if place.exists()), None),
    )


class TrueLines:
    """True toe lines and crests of one photo, in mm and px."""

    def __init__(self, truth: dict) -> None:
        weld = truth["weld"]
        toes = weld["toes"]
        self.s_mm = np.array(toes["s_mm"], float)
        self.lo_t = np.array(toes["lo_t_mm"], float)
        self.hi_t = np.array(toes["hi_t_mm"], float)
        self.lo_px = _points(toes["lo_px"])
        self.hi_px = _points(toes["hi_px"])
        self.crests = [r for r in weld["ripples"] if r.get("crest_s_mm")]

    def toe_errors_mm(self, stations: list) -> list[float]:
        """Signed distance of each toe from its true line, outward positive: left, right, left…"""
        errors = []
        left = np.array([s.left_toe_px for s in stations]).reshape(-1, 2)
        right = np.array([s.right_toe_px for s in stations]).reshape(-1, 2)
        if not len(stations):
            return errors
        left_is_lo = self._is_lo(left)
        lines = (self.lo_px, self.hi_px) if left_is_lo else (self.hi_px, self.lo_px)
        out_left = self._outward_mm(left, lines[0], lines[1])
        out_right = self._outward_mm(right, lines[1], lines[0])
        return [e for pair in zip(out_left, out_right, strict=True) for e in pair]

    def _is_lo(self, points: np.ndarray) -> bool:
        """Whether toe points run along the truth's lo line rather than its hi line."""
        return bool(_distance(points, self.lo_px).sum() < _distance(points, self.hi_px).sum())

    def _outward_mm(self, points: np.ndarray, line: np.ndarray, other: np.ndarray) -> np.ndarray:
        """Distance across the weld from a toe line, in mm by the local true width."""
        errors = []
        for point in points:
            gap = np.hypot(*(line - point).T)
            at = int(np.nanargmin(gap))
            near, far = line[at], other[at]
            width_mm = abs(self.hi_t[at] - self.lo_t[at])
            outward = (near - far) / np.hypot(*(near - far))
            along = line[min(at + 1, len(line) - 1)] - line[max(at - 1, 0)]
            normal = np.array([-along[1], along[0]]) / np.hypot(*along)
            normal *= np.sign(normal @ outward)
            px_per_mm = np.hypot(*(near - far)) / width_mm
            errors.append(float((point - near) @ normal / px_per_mm))
        return np.array(errors)

    def s_at(self, px: tuple[float, float]) -> float:
        """True s of a photo pixel, by the nearest place midway between the toes."""
        middle = 0.5 * (self.lo_px + self.hi_px)
        return float(self.s_mm[int(np.nanargmin(np.hypot(*(middle - np.array(px)).T)))])

    def compared(self, result: Result) -> list[Compared]:
        """All quantities that the truth knows, over the same piece of weld."""
        used = [s for s in result.stations if s.sure and s.steady]
        middles = [np.mean([s.left_toe_px, s.right_toe_px], axis=0) for s in (used[0], used[-1])]
        first, last = sorted(self.s_at(m) for m in middles)
        s = np.arange(first, last + 0.5, 1.0)
        lo, hi = np.interp(s, self.s_mm, self.lo_t), np.interp(s, self.s_mm, self.hi_t)
        truths = {
            ("weld_width", "mean", None): (hi - lo).mean(),
            ("weld_width", "sd", None): (hi - lo).std(ddof=1),
            ("weld_width", "min", None): (hi - lo).min(),
            ("weld_width", "max", None): (hi - lo).max(),
            ("centreline_deviation", "max", None): np.abs(_off_line(s, 0.5 * (lo + hi))).max(),
        }
        left_is_lo = self._is_lo(np.array([s.left_toe_px for s in used]))
        for side, toe in (("left", lo if left_is_lo else hi), ("right", hi if left_is_lo else lo)):
            windows = [
                _off_line(s[i : i + 26], toe[i : i + 26]) for i in range(max(0, s.size - 25))
            ]
            if windows:
                variances = [w @ w / (len(w) - 2) for w in windows]
                truths["toe_waviness", "sd", side] = float(np.sqrt(np.mean(variances)))
        truths |= self._ripple_truths(result, float((hi - lo).mean()))
        return [
            Compared(
                name=" ".join(filter(None, (q.name, q.statistic, q.side))),
                value=q.value,
                truth=float(truths[q.name, q.statistic, q.side]),
                expanded_uncertainty=q.expanded_uncertainty,
            )
            for q in result.quantities
            if (q.name, q.statistic, q.side) in truths
        ]

    def _ripple_truths(self, result: Result, width_mm: float) -> dict:
        if len(result.ripples) < 2 or not self.crests:
            return {}
        ends = sorted(self.s_at(r.px) for r in (result.ripples[0], result.ripples[-1]))
        best: np.ndarray | None = None
        for beads in self.crests:
            s = np.array(beads["crest_s_mm"], float)
            pitch = np.median(np.diff(s))
            inside = s[(s >= ends[0] - 0.5 * pitch) & (s <= ends[1] + 0.5 * pitch)]
            if inside.size > 2 and (
                best is None
                or abs(inside.size - len(result.ripples)) < abs(best.size - len(result.ripples))
            ):
                best = inside
        if best is None:
            return {}
        spacing = np.diff(best)
        return {
            ("ripple_spacing", "mean", None): spacing.mean(),
            ("ripple_spacing", "sd", None): spacing.std(ddof=1),
            ("ripple_spacing", "min", None): spacing.min(),
            ("ripple_spacing", "max", None): spacing.max(),
            # Of a torch that stands on the peak; a spot is as long as the weld is wide.
            ("pulse_overlap", "mean", None): 1.0 - spacing.mean() / width_mm,
            ("pulse_overlap", "min", None): 1.0 - spacing.max() / width_mm,
        }


def _points(pixels: list) -> np.ndarray:
    return np.array([p if p is not None else (np.nan, np.nan) for p in pixels], float)


def _distance(points: np.ndarray, line: np.ndarray) -> np.ndarray:
    return np.nanmin(np.hypot(*(points[:, None] - line[None]).transpose(2, 0, 1)), axis=1)


def _off_line(s: np.ndarray, across: np.ndarray) -> np.ndarray:
    return across - np.polyval(np.polyfit(s, across, 1), s)


def truth_of(photo: Path) -> dict | None:
    """Truth file of a photo, or None."""
    for path in (photo.with_suffix(".json"), photo.parent / "truth" / f"{photo.stem}.json"):
        if path.exists():
            return json.loads(path.read_text())
    return None


def judge_folders(folders: list[Path], target: Path | None) -> list[Judged]:
    """Judge every photo with a truth file in these folders."""
    verdicts = []
    for photo in sorted(p for f in folders for p in f.glob("*.jpg")):
        truth = truth_of(photo)
        if truth is None or truth.get("kind", "face") != "face":
            continue
        verdicts.append(judged(photo, truth, target))
        show_photo(verdicts[-1])
    return verdicts


def show_photo(verdict: Judged) -> None:
    """Print one line for one photo."""
    by_name = {c.name: c for c in verdict.compared}
    parts = [f"{verdict.file:28s}"]
    if not verdict.measured:
        parts.append(f"refused: {verdict.problem}")
    elif not verdict.has_weld:
        parts.append("INVENTED A WELD")
    else:
        parts.append(f"sure {verdict.sure_share:4.0%} near {verdict.toes_near_share:4.0%}")
        for name in ("weld_width mean", "weld_width sd", "ripple_spacing mean"):
            if name in by_name:
                c = by_name[name]
                parts.append(
                    f"{name} {c.truth:6.3f} err {c.error:+.3f} U {c.expanded_uncertainty:.3f}"
                    f"{'' if c.covered else ' MISS'}"
                )
        parts.append(verdict.problem)
    print("  ".join(parts), flush=True)


def show_summary(verdicts: list[Judged]) -> None:
    """Print the figures over all photos."""
    welds = [v for v in verdicts if v.has_weld]
    done = [v for v in welds if v.measured]
    print(f"\nwith a weld: {len(welds)}, measured: {len(done)}")
    print(
        f"without a weld: {len(verdicts) - len(welds)}, invented: "
        f"{sum(v.measured for v in verdicts if not v.has_weld)}"
    )
    if not done:
        return
    widths = [c for v in done for c in v.compared if c.name == "weld_width mean"]
    errors = np.abs([c.error for c in widths])
    print(
        f"mean width: |error| median {np.median(errors):.3f}, greatest {errors.max():.3f} mm; "
        f"bias {np.mean([c.error for c in widths]):+.3f}; "
        f"greatest U {max(c.expanded_uncertainty for c in widths):.3f} mm"
    )
    toe = np.array([e for v in done for e in v.toe_errors_mm])
    pairs = np.abs(toe).reshape(-1, 2).max(axis=1)
    print(
        f"sure stations: {np.mean([v.sure_share for v in done]):.1%} of all on average, least "
        f"{min(v.sure_share for v in done):.0%}; toes within {STATION_TOLERANCE_MM} mm: "
        f"{(pairs <= STATION_TOLERANCE_MM).mean():.1%} of all, least in a photo "
        f"{min(v.toes_near_share for v in done):.0%}"
    )
    print(
        f"toe error: mean {toe.mean():+.3f}, median |e| {np.median(np.abs(toe)):.3f}, "
        f"95 % within {np.quantile(np.abs(toe), 0.95):.3f} mm (outward positive)"
    )
    print(
        f"\n{'quantity':28s}{'n':>5s}{'covered':>9s}  95 % interval   "
        f"{'median |e|':>10s}{'median U':>10s}{'bias':>9s}"
    )
    for name in sorted({c.name for v in done for c in v.compared}):
        rows = [c for v in done for c in v.compared if c.name == name]
        hits = sum(c.covered for c in rows)
        interval = binomtest(hits, len(rows)).proportion_ci(0.95, method="wilson")
        print(
            f"{name:28s}{len(rows):5d}{hits / len(rows):9.1%}  {interval.low:.1%}–"
            f"{interval.high:.1%}   {np.median([abs(c.error) for c in rows]):10.4f}"
            f"{np.median([c.expanded_uncertainty for c in rows]):10.4f}"
            f"{np.mean([c.error for c in rows]):+9.4f}"
        )


def write_csv(path: Path, verdicts: list[Judged]) -> None:
    """Write every comparison as one row."""
    with path.open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["file", "quantity", "value", "truth", "U"])
        for verdict in verdicts:
            for c in verdict.compared:
                writer.writerow([verdict.file, c.name, c.value, c.truth, c.expanded_uncertainty])


def main() -> None:
    """Judge the folders named on the command line."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--target", type=Path)
    parser.add_argument("--csv", type=Path)
    arguments = parser.parse_args()
    verdicts = judge_folders(arguments.folders, arguments.target)
    if not verdicts:
        sys.exit("No photo with a truth file lies in these folders.")
    show_summary(verdicts)
    if arguments.csv:
        write_csv(arguments.csv, verdicts)


if __name__ == "__main__":
    main()
