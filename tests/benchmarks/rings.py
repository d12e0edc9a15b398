"""How near is a weld joined all the way round to the truth, and does U hold?

    python tests/benchmarks/rings.py RING… [--bar]

RING is a folder of renders with `ring.json` and a truth file beside each photo, as
`python -m samples.making rings` makes them. The bar counts as not measured unless `--bar` says so.
"""

import argparse
import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from beadcheck.coupon import Coupon, Position, Process, Progression, Shape
from beadcheck.pipeline import Request, measure, takes_of
from beadcheck.result import Result, SectorRecord, WholeWeldRecord

Truth = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """One ring: its truth, and what was measured."""

    folder: Path
    truth: Truth
    result: Result

    @property
    def whole(self) -> WholeWeldRecord:
        """The joined weld."""
        if self.result.whole_weld is None:
            msg = f"{self.folder.name}: not joined"
            raise SystemExit(msg)
        return self.result.whole_weld

    @property
    def turn_mm(self) -> float:
        """True girth."""
        return math.pi * float(self.truth["outside_diameter_mm"])


def measured(folder: Path, *, bar: bool) -> Ring:
    """Measure a ring's photos as its coupon would be entered."""
    truth = json.loads((folder / "ring.json").read_text())
    strip = truth["strip"]
    coupon = Coupon(
        shape=Shape.PIPE,
        outside_diameter_mm=truth["outside_diameter_entered_mm"],
        wall_thickness_mm=truth["wall_thickness_mm"],
        process=Process(truth["process"]),
        position=Position.FIXED_HORIZONTAL,
        progression=Progression.UP,
    )
    photos = [folder / each["file"] for each in truth["photos"]]
    request = Request(
        takes=takes_of([photo for photo in photos if photo.exists()]),
        coupon=coupon,
        measured_bar_mm=round(100.0 * strip["print_scale"] * 4.0) / 4.0 if bar else None,
    )
    return Ring(folder=folder, truth=truth, result=measure(request))


def around_mm(apart: np.ndarray, turn_mm: float) -> np.ndarray:
    """Differences of places round the pipe, brought to half a turn each way."""
    return np.mod(apart + 0.5 * turn_mm, turn_mm) - 0.5 * turn_mm


def place_errors_mm(ring: Ring) -> np.ndarray:
    """By how much stations lie off along the circumference, at the pixels of their toes."""
    clock = ring.truth["clock"]
    errors = []
    for photo, record in enumerate(ring.result.photos):
        if photo not in ring.whole.photos:
            continue
        truth = json.loads((ring.folder / record.file).with_suffix(".json").read_text())
        toes = truth["weld"]["toes"]
        line_px = 0.5 * sum(np.array(toes[side], dtype=np.float64) for side in ("lo_px", "hi_px"))
        s_mm = np.array(toes["s_mm"])
        # The far side of the pipe, which no photo shows, lies behind the same pixels.
        known = np.isfinite(line_px).all(axis=1) & np.array(toes["in_view"], dtype=bool)
        line_px, s_mm = line_px[known], s_mm[known]
        for station in ring.whole.stations:
            if station.photo != photo:
                continue
            own = ring.result.stations[station.station]
            middle = 0.5 * (np.array(own.left_toe_px) + np.array(own.right_toe_px))
            at = s_mm[np.hypot(*(line_px - middle).T).argmin()]
            placed = next(each for each in ring.whole.placed if each.photo == photo)
            ratio = ring.whole.closure.scale_ratio if ring.whole.closure else 1.0
            x_mm = 0.5 * (own.left_toe_mm[0] + own.right_toe_mm[0])
            degrees = 360.0 * (x_mm + placed.offset_mm) * ratio / ring.whole.length_mm
            told_mm = degrees / 360.0 * ring.turn_mm
            true_mm = clock["sense"] * (at - clock["zero_s_mm"])
            errors.append(float(around_mm(np.array(told_mm - true_mm), ring.turn_mm)))
    return np.array(errors)


def sector_errors_mm(ring: Ring) -> list[tuple[int, float, float]]:
    """Sector, error of its mean width where all of it is told, and U."""
    arc, width = np.array(ring.truth["arc_mm"]), np.array(ring.truth["width_mm"])
    found = []
    for sector in ring.whole.sectors:
        value = _of(sector, "weld_width", "mean")
        if value is None:
            continue
        middle = (sector.middle_clock_deg or 0.0) / 360.0 * ring.turn_mm
        inside = np.abs(around_mm(arc - middle, ring.turn_mm)) <= ring.turn_mm / 24.0
        told = [s.arc_mm / ring.whole.length_mm * ring.turn_mm for s in ring.whole.stations]
        near = np.abs(around_mm(arc[:, None] - np.array(told), ring.turn_mm)).min(axis=1) < 1.0
        inside &= near
        found.append((sector.number, value[0] - float(width[inside].mean()), value[1]))
    return found


def _of(sector: SectorRecord, name: str, statistic: str) -> tuple[float, float] | None:
    for value in sector.values:
        if (value.name, value.statistic) == (name, statistic):
            return value.value, value.expanded_uncertainty
    return None


def station_errors(ring: Ring) -> tuple[np.ndarray, np.ndarray]:
    """Errors of the widths of all stations, and their U."""
    arc, width = np.array(ring.truth["arc_mm"]), np.array(ring.truth["width_mm"])
    told = np.array([s.arc_mm for s in ring.whole.stations]) / ring.whole.length_mm * ring.turn_mm
    widths = np.array([s.weld_width_mm for s in ring.whole.stations])
    expanded = np.array([s.weld_width_U_mm for s in ring.whole.stations])
    return widths - np.interp(told, arc, width, period=ring.turn_mm), expanded


def restarts(ring: Ring) -> tuple[list[tuple[float, float]], list[float]]:
    """Visible true ends with the distance of the nearest candidate; candidates near none."""
    ends = [each["arc_mm"] for each in ring.truth["ends"] if each["shown"]]
    every = [each["arc_mm"] for each in ring.truth["ends"]]
    told = np.array(
        [each.arc_mm / ring.whole.length_mm * ring.turn_mm for each in ring.whole.start_stops]
    )
    nearest = [
        (end, float(np.abs(around_mm(told - end, ring.turn_mm)).min()) if told.size else math.inf)
        for end in ends
    ]
    false = [
        float(t) for t in told if np.abs(around_mm(np.array(every) - t, ring.turn_mm)).min() > 5.0
    ]
    return nearest, false


def report(ring: Ring) -> None:
    """Print the figures of one ring."""
    whole = ring.whole
    print(f"{ring.folder.name}: {ring.truth['flaws']}")
    if whole.closure is not None:
        print(f"  closure {whole.closure.fault}: {whole.closure.words}")
        print(
            f"  girth {whole.length_mm:.2f} ± {whole.length_U_mm:.2f} mm, true {ring.turn_mm:.2f};"
            f" curved {whole.closure.curved_diameter_mm:.2f} ±"
            f" {whole.closure.curved_diameter_U_mm:.2f} mm"
        )
    roles = {each["file"]: each["role"] for each in ring.truth["photos"]}
    for left in whole.left_out:
        file = ring.result.photos[left.photo].file
        print(f"  left out {file} ({roles[file]}) {left.code}: {left.reason}")
    unusable = [f"{p.file} ({p.problems[0].code})" for p in ring.result.photos if not p.usable]
    print(f"  photos {len(whole.photos)} of {len(roles)}, not usable: {unusable}")
    places = place_errors_mm(ring)
    print(
        f"  places: rms {np.sqrt(np.mean(places**2)):.3f}, greatest {np.abs(places).max():.3f} mm"
    )
    sectors = sector_errors_mm(ring)
    off = np.array([[e, u] for _, e, u in sectors])
    print(
        f"  sectors' mean width: greatest error {np.abs(off[:, 0]).max():.3f} mm, within U"
        f" {int((np.abs(off[:, 0]) <= off[:, 1]).sum())} of {len(sectors)},"
        f" greatest U {off[:, 1].max():.2f}"
    )
    errors, expanded = station_errors(ring)
    print(
        f"  stations {len(errors)}: within U {100 * np.mean(np.abs(errors) <= expanded):.1f} %,"
        f" bias {errors.mean():+.3f} mm"
    )
    crests = sum(bead["crests"] for bead in ring.truth["beads"])
    print(f"  ripples {whole.crest_count} ± {whole.crest_count_U}, true {crests}")
    for gap in whole.gaps:
        print(f"  {gap.words}")
    nearest, false = restarts(ring)
    for end, distance in nearest:
        print(f"  end at {end:.1f} mm: nearest candidate {distance:.1f} mm off")
    print(f"  candidates: {len(whole.start_stops)}, near no end: {[round(f, 1) for f in false]}")
    for half in whole.halves:
        print(f"  {half.words}")
    print(f"  truth of halves: {ring.truth['halves']}")


def main() -> None:
    """Read the command line."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("rings", type=Path, nargs="+")
    parser.add_argument("--bar", action="store_true", help="the check bar was measured, to 0.25 mm")
    asked = parser.parse_args()
    for folder in asked.rings:
        report(measured(folder, bar=asked.bar))


if __name__ == "__main__":
    main()
