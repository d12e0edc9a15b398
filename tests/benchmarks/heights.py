"""How near are height profiles to the truth, and does U hold? Renders with truth, one kind a run.

    python tests/benchmarks/heights.py SET… --kind side-on

SET is a folder of NAME.jpg and NAME.json (format in samples/README.md). Each photo's profiles are
read as the pipeline reads them, and every value is set against the truth of its own section. Never
tune on a set that a coverage figure is quoted for.
"""

import argparse
import json
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from scipy.spatial import cKDTree

from beadcheck.coupon import Coupon, Shape
from beadcheck.errors import BeadcheckError, BeadError
from beadcheck.measurements.profile import ProfileReading, read_profile
from beadcheck.photo import read_photo
from beadcheck.profiles import Profile
from beadcheck.profiles.light_line import (
    KnownStep,
    LightAngle,
    LightReference,
    light_line_profiles,
)
from beadcheck.profiles.pair import (
    HeightMap,
    PairView,
    band_along_target,
    pair_heights,
    section,
)
from beadcheck.profiles.pair.height_map import worth_reading
from beadcheck.profiles.side_on import side_on_profile
from beadcheck.quantity import QuantityName, Side, combined_standard_uncertainty
from beadcheck.surface import SolvedSurface, print_scale, solve_surface
from beadcheck.target.find import find_target
from beadcheck.target.read import read_target
from beadcheck.toes import follow_weld, locate_weld, stations

CALIBRATION = Path(__file__).parents[2] / "calibration"
target_folders = [CALIBRATION]
"""Where the target files that truths name are looked for; `--targets` adds to them."""


FLUSH_MM = 0.1
IN_GROOVE_MM = 0.5
FEWEST_LEVEL = 5
NEAR_LINE_PX = 6.0
"""Further from the true line, another one was followed."""
U_ANGLE_DEG = 0.5
"""How well the angle of the sheet of light is said to be known."""


@dataclass(frozen=True, kw_only=True)
class Case:
    """One value against its truth, in the value's unit."""

    photo: str
    what: str
    value: float
    true: float
    expanded: float

    @property
    def error(self) -> float:
        return self.value - self.true

    @property
    def held(self) -> bool:
        return abs(self.error) <= self.expanded


def coupon_of(truth: dict) -> Coupon:
    pipe = truth["surface"]["kind"] == "pipe"
    return Coupon(
        shape=Shape.PIPE if pipe else Shape.PLATE,
        outside_diameter_mm=truth["surface"]["outside_diameter_mm"] if pipe else None,
    )


def solved(picture: Path, truth: dict) -> tuple:
    """The photo of a picture, and its surface as solved from the target that the truth names."""
    photo, _, surface = found_and_solved(picture, truth)
    return photo, surface


def found_and_solved(picture: Path, truth: dict) -> tuple:
    """The same, with the target as found."""
    photo = read_photo(picture)
    name = truth["cards"][0]["target_file"]
    places = [folder / name for folder in target_folders if (folder / name).exists()]
    design = read_target(places[0])
    found = find_target(photo, [design])
    return photo, found, solve_surface(found, photo, coupon_of(truth), print_scale(design, None))


def side_on_cases(truth_file: Path) -> Iterator[Case]:
    """What a side-on photo says of the section on the outline."""
    truth = json.loads(truth_file.read_text(encoding="utf-8"))
    photo, surface = solved(truth_file.with_suffix(".jpg"), truth)
    profile = side_on_profile(photo, surface)
    reading = read_profile(profile, weld_pass=None)
    limb = truth["limb"]
    if limb is None or "section" not in limb:
        return
    section = limb["section"]
    # The outline shows the largest height near the limb, so that is what its truth is.
    join_mm = 0.5 * sum(section["toe_z_mm"])
    crest_mm = limb.get("max_apparent_over_join_mm", limb["max_z_at_silhouette_mm"] - join_mm)
    section |= {"reinforcement_mm": crest_mm, "underfill_mm": None}
    if section["top_z_mm"] < FLUSH_MM:
        # The highest point of a hollow face is its toe: its lowest is what counts.
        section |= {"reinforcement_mm": None, "underfill_mm": -section["least_mm"]}
        section |= {"undercut_lo_mm": None, "undercut_hi_mm": None, "area_mm2": None}
    yield from _section_cases(
        truth_file.stem, reading, section, lo_is_left=_lo_is_left(surface, limb)
    )


def _lo_is_left(surface: SolvedSurface, limb: dict) -> bool:
    """Whether the toe at smaller t of the truth is the left one, facing growing s of the strip."""
    ends_mm = surface.to_mm(
        np.array(limb["bare_limb_px"])[[0, -1]] - 40.0 * np.array(limb["up_in_image"])
    )
    return bool(ends_mm[0, 1] < ends_mm[1, 1])


def _section_cases(
    photo: str, reading: ProfileReading, section: dict, *, lo_is_left: bool
) -> Iterator[Case]:
    """Every value of a reading that the truth of its section knows."""
    lo, hi = (Side.LEFT, Side.RIGHT) if lo_is_left else (Side.RIGHT, Side.LEFT)
    known = (
        (QuantityName.FACE_REINFORCEMENT, None, "reinforcement_mm"),
        (QuantityName.UNDERFILL, None, "underfill_mm"),
        (QuantityName.LINEAR_MISALIGNMENT, None, "misalignment_mm"),
        (QuantityName.WELD_WIDTH, None, "width_mm"),
        (QuantityName.SECTION_AREA, None, "area_mm2"),
        (QuantityName.UNDERCUT_DEPTH, lo, "undercut_lo_mm"),
        (QuantityName.UNDERCUT_DEPTH, hi, "undercut_hi_mm"),
        (QuantityName.TOE_ANGLE, lo, "toe_angle_lo_deg"),
        (QuantityName.TOE_ANGLE, hi, "toe_angle_hi_deg"),
    )
    for name, side, key in known:
        value, true = reading.value(name, side), section.get(key)
        if value is None or true is None:
            continue
        if name is QuantityName.TOE_ANGLE:
            true = 180.0 - true  # the truth gives the flank's angle to the base metal
        yield Case(
            photo=photo, what=str(name), value=value.value, true=float(true),
            expanded=value.expanded_uncertainty,
        )  # fmt: skip


def pair_cases(truth_file: Path) -> Iterator[Case]:
    """What the photos of one coupon say of the sections whose truth is known, and of every height.

    Called for each photo's truth; only the first photo's counts.
    """
    if not truth_file.stem.endswith("a"):
        return
    truth = json.loads(truth_file.read_text(encoding="utf-8"))
    height_map = _height_map(truth_file, truth)
    first_mm, last_mm = height_map.s_mm[[0, -1]]
    if len(height_map.toes_mm):
        first_mm, last_mm = height_map.toes_mm[[0, -1], 0]
    for known in truth.get("profiles") or ():
        metal = _on_metal(known["s"], np.array(known["t_mm"]), truth["surface"]["radius_mm"])
        places = height_map.axis.to_weld(height_map.surface.to_mm(_seen(metal, truth["camera"])))
        if not first_mm <= places[:, 0].mean() <= last_mm:
            continue
        profile = section(height_map, float(places[:, 0].mean()))
        true_mm = _along_profile(profile.across_mm, places[:, 1], known["z_mm"])
        name = f"{truth_file.stem}@{known['s']:g}"
        yield from _height_cases(name, profile, true_mm)
        if not worth_reading(profile):
            continue
        try:
            reading = read_profile(profile, weld_pass=None)
        except BeadcheckError:
            continue
        values = dict(known["values"])
        if values["top_z_mm"] < -IN_GROOVE_MM:
            continue  # a pass in a groove is read as one only where the pass is told
        if values["top_z_mm"] < FLUSH_MM:
            # The highest point of a hollow face is its toe: its lowest is what counts.
            values |= {"reinforcement_mm": None, "underfill_mm": -values["least_mm"]}
        yield from _section_cases(
            name, reading, values, lo_is_left=bool(places[0, 1] < places[-1, 1])
        )


def _height_map(truth_file: Path, truth: dict) -> HeightMap:
    pictures = sorted(truth_file.parent.glob(f"{truth_file.stem[:-1]}[abc].jpg"))
    views = [
        PairView(photo=photo, found=found, surface=surface)
        for photo, found, surface in (found_and_solved(picture, truth) for picture in pictures)
    ]
    photo, surface = views[0].photo, views[0].surface
    try:
        weld = locate_weld(photo, surface)
        followed = follow_weld(photo, surface, weld)
        toes = stations(followed, surface)
        weld = replace(weld, axis=followed.bead.axis)
    except BeadError:
        weld, toes = band_along_target(photo, surface), None
    known = truth.get("step")
    step = None
    if known is not None:
        place = tuple(known["middle_px"])
        step = KnownStep(thickness_mm=known["thickness_mm"], place_px=place)
    coupon = coupon_of(truth)
    return pair_heights(views, coupon=coupon, weld=weld, toes=toes, step=step)


def _on_metal(s_mm: float, t_mm: np.ndarray, radius_mm: float | None) -> np.ndarray:
    """Points of the bare metal across the weld, as the truth's camera counts x, y and z."""
    x_mm, z_mm = s_mm, 0.0
    if radius_mm is not None:
        x_mm = radius_mm * np.sin(s_mm / radius_mm)
        z_mm = radius_mm * (np.cos(s_mm / radius_mm) - 1.0)
    return np.stack([np.full_like(t_mm, x_mm), t_mm, np.full_like(t_mm, z_mm)], axis=1)


def _seen(points: np.ndarray, camera: dict) -> np.ndarray:
    """Pixels of points of the metal, by the true camera."""
    turn, _ = cv2.Rodrigues(np.array(camera["R"]))
    shift, inner, bend = (
        np.array(camera[key], dtype=float) for key in ("t", "K", "dist_k1_k2_p1_p2_k3")
    )
    return cv2.projectPoints(points, turn, shift, inner, bend)[0].reshape(-1, 2)


def _along_profile(across_mm: np.ndarray, true_across: np.ndarray, z_mm: list) -> np.ndarray:
    order = np.argsort(true_across)
    heights = np.array([np.nan if z is None else z for z in z_mm])[order]
    return np.interp(across_mm, true_across[order], heights, left=np.nan, right=np.nan)


def _height_cases(name: str, profile: Profile, true_mm: np.ndarray) -> Iterator[Case]:
    """Every height of a section, as levelled in the map."""
    gain, form = (
        combined_standard_uncertainty(budget)
        for budget in (profile.gain_budget, profile.form_budget)
    )
    for place in np.flatnonzero(np.isfinite(profile.height_mm) & np.isfinite(true_mm)):
        true, own = float(true_mm[place]), float(profile.u_height_mm[place])
        yield Case(
            photo=name,
            what="height of weld" if abs(true) > FLUSH_MM else "height of base",
            value=float(profile.height_mm[place]),
            true=true,
            expanded=2.0 * float(np.sqrt(own**2 + form**2 + (gain * true) ** 2)),
        )


def light_line_cases(truth_file: Path) -> Iterator[Case]:
    """What a light-line photo says of the section under its line: by its step, and by its angle.

    "mean crown" is the mean height over the middle 2 mm about the true crown, levelled on the metal
    that the truth says is bare: the line alone, without the reading's choice of toes and crest.
    Where a rule's shadow was followed along its other edge, what the truth knows of the weld there
    are sections 5 mm apart, so that the true crown is good to what ripples differ by: "of other
    edge".
    """
    truth = json.loads(truth_file.read_text(encoding="utf-8"))
    photo, surface = solved(truth_file.with_suffix(".jpg"), truth)
    line, known = truth["laser"], truth.get("step")
    lights: dict[str, LightReference] = {
        "angle": LightAngle(angle_deg=line["angle_from_normal_deg"], u_angle_deg=U_ANGLE_DEG)
    }
    if known is not None:
        lights["step"] = KnownStep(thickness_mm=known["thickness_mm"])
    try:
        weld = locate_weld(photo, surface)
    except BeadError:
        weld = None
    refusals: list[BeadcheckError] = []
    for what, light in lights.items():
        name = f"{truth_file.stem} {what}"
        try:
            profiles = light_line_profiles(photo, surface, light, weld=weld)
        except BeadcheckError as refusal:
            refusals.append(refusal)
            continue
        for profile in profiles:
            yield from _under_the_line(name, profile, truth)
    if refusals:
        raise refusals[0]


def _under_the_line(name: str, profile: Profile, truth: dict) -> Iterator[Case]:
    line = truth["laser"]
    if line.get("toe_lo_t_mm") is None:
        yield from _flatness(name, profile, line)
        return
    lo, hi = line["toe_lo_t_mm"], line["toe_hi_t_mm"]
    places, t_mm, z_mm = _seen_line(line)
    off_px, nearest = cKDTree(places).query(profile.points_px)
    near = np.isfinite(profile.height_mm) & (off_px < NEAR_LINE_PX)
    what, across = "mean crown", profile.across_mm
    true_mm, at_mm = z_mm[nearest], t_mm[nearest]
    if not near.any():
        if line["kind"] != "shadow" or truth["surface"]["radius_mm"] is not None:
            yield Case(photo=name, what="another line", value=1.0, true=0.0, expanded=0.0)
            return
        what = "crown of other edge"
        at_mm, true_mm = _true_on_plate(profile, truth)
        near = np.isfinite(profile.height_mm) & np.isfinite(true_mm)
    bare = near & (
        ((at_mm < lo - 1.0) & (at_mm > lo - 6.0)) | ((at_mm > hi + 1.0) & (at_mm < hi + 6.0))
    )
    if bare.sum() < FEWEST_LEVEL:
        return
    error = profile.height_mm - true_mm
    error = error - np.polyval(np.polyfit(across[bare], error[bare], 1), across)
    inside = near & (at_mm > lo) & (at_mm < hi)
    if inside.any():
        top = int(np.flatnonzero(inside)[true_mm[inside].argmax()])
        crown = inside & (np.abs(at_mm - at_mm[top]) < 1.0)
        gain = combined_standard_uncertainty(profile.gain_budget) * true_mm[top]
        form = combined_standard_uncertainty(profile.form_budget)
        own = float(np.median(profile.u_height_mm[crown]))
        true = float(true_mm[crown].mean())
        yield Case(
            photo=name, what=what, value=true + float(error[crown].mean()), true=true,
            expanded=2.0 * float(np.sqrt(own**2 + gain**2 + form**2)),
        )  # fmt: skip
    if what != "mean crown":
        return
    try:
        reading = read_profile(profile, weld_pass=None)
    except BeadcheckError:
        return
    # Values of the nearest section, but for those that differ from ripple to ripple.
    middle_s = float(np.median(np.array(line["s_mm"], float)[_within(line, lo, hi)]))
    values = dict(min(truth["profiles"], key=lambda known: abs(known["s"] - middle_s))["values"])
    weld_z = z_mm[(t_mm >= lo) & (t_mm <= hi)] - 0.5 * sum(values["toe_z_mm"])
    if values["top_z_mm"] < -IN_GROOVE_MM:
        return  # a pass in a groove is read as one only where the pass is told
    hollow = float(weld_z.max()) < FLUSH_MM
    values["reinforcement_mm"] = None if hollow else float(weld_z.max())
    values["underfill_mm"] = -float(weld_z.min()) if hollow else None
    if hollow:
        values["area_mm2"] = None  # the truth counts what rises above the toes only
    lo_is_left = bool(np.corrcoef(at_mm[near], across[near])[0, 1] > 0.0)
    yield from _section_cases(name, reading, values, lo_is_left=lo_is_left)


def _true_on_plate(profile: Profile, truth: dict) -> tuple[np.ndarray, np.ndarray]:
    """Place across and true height, between known sections, of what a profile's points show."""
    camera = truth["camera"]
    inner, bend, turn, shift = (
        np.array(camera[key], dtype=float) for key in ("K", "dist_k1_k2_p1_p2_k3", "R", "t")
    )
    flat = cv2.undistortPoints(profile.points_px[:, None], inner, bend)[:, 0]
    sight = np.column_stack([flat, np.ones(len(flat))]) @ turn
    eye = -turn.T @ shift
    reach = (np.nan_to_num(profile.height_mm) - eye[2]) / sight[:, 2]
    s_mm, t_mm = (eye + reach[:, None] * sight)[:, :2].T
    known = sorted(truth["profiles"], key=lambda section: section["s"])
    places = np.array([section["s"] for section in known])
    heights = np.stack([_along_profile(t_mm, np.array(k["t_mm"]), k["z_mm"]) for k in known])
    share = np.interp(s_mm, places, np.arange(len(known)), left=np.nan, right=np.nan)
    lower = np.clip(np.nan_to_num(share), 0, len(known) - 2).astype(int)
    rows = np.arange(len(t_mm))
    low, high = heights[lower, rows], heights[lower + 1, rows]
    return t_mm, low + (share - lower) * (high - low)


def _seen_line(line: dict) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Pixels, t and z of the lit places of a true line."""
    places = np.array(line["line_px"], dtype=float)
    lit = np.isfinite(places).all(axis=1) & np.array(line["lit"], dtype=bool)
    return places[lit], np.array(line["t_mm"], float)[lit], np.array(line["z_mm"], float)[lit]


def _within(line: dict, lo: float, hi: float) -> np.ndarray:
    t_mm = np.array(line["t_mm"], float)
    return np.isfinite(np.array(line["s_mm"], float)) & (t_mm > lo) & (t_mm < hi)


def _flatness(name: str, profile: Profile, line: dict) -> Iterator[Case]:
    """Every height of the bare metal of a plate without a weld, off one straight line."""
    places = np.array(line["line_px"], dtype=float)
    known = np.isfinite(places).all(axis=1)
    off_px, nearest = cKDTree(places[known]).query(profile.points_px)
    on_base = np.array(line["on"])[known][nearest] == "base"
    seen = np.isfinite(profile.height_mm) & (off_px < NEAR_LINE_PX) & on_base
    across, height = profile.across_mm[seen], profile.height_mm[seen]
    rest = height - np.polyval(np.polyfit(across, height, 1), across)
    form = combined_standard_uncertainty(profile.form_budget)
    for value, own in zip(rest, profile.u_height_mm[seen], strict=True):
        yield Case(
            photo=name, what="height without weld", value=float(value), true=0.0,
            expanded=2.0 * float(np.hypot(own, form)),
        )  # fmt: skip


KINDS: dict[str, Callable[[Path], Iterator[Case]]] = {
    "side-on": side_on_cases,
    "light-line": light_line_cases,
    "pair": pair_cases,
}
"""Yields the cases of one photo (of one pair: of its first) from its truth file."""


def report(cases: list[Case], refusals: Counter[str], photos: int, *, verbose: bool) -> None:
    if verbose:
        for case in cases:
            mark = "" if case.held else "  beyond U"
            print(
                f"{case.photo:8} {case.what:22} {case.value:8.3f} true {case.true:8.3f} "
                f"error {case.error:+7.3f} U {case.expanded:6.3f}{mark}"
            )
    print(f"{photos} photos, refused: {dict(refusals) or 'none'}")
    heads = f"{'median':>8} {'p95':>8} {'worst':>8} {'median U':>9} {'|e| <= U':>9}"
    print(f"{'value':22} {'n':>4} {heads}")
    for what in dict.fromkeys(case.what for case in cases):
        own = [case for case in cases if case.what == what]
        off = np.abs([case.error for case in own])
        print(
            f"{what:22} {len(own):4d} {np.median(off):8.3f} {np.quantile(off, 0.95):8.3f} "
            f"{off.max():8.3f} {np.median([case.expanded for case in own]):9.3f} "
            f"{100.0 * np.mean([case.held for case in own]):8.1f}%"
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("sets", nargs="+", type=Path)
    parser.add_argument("--kind", required=True, choices=sorted(KINDS))
    parser.add_argument("--targets", nargs="*", type=Path, default=[], help="more target files")
    parser.add_argument("--verbose", action="store_true")
    asked = parser.parse_args()
    target_folders.extend(asked.targets)
    cases: list[Case] = []
    refusals: Counter[str] = Counter()
    files = [file for folder in asked.sets for file in sorted(folder.glob("*.json"))]
    start = time.perf_counter()
    for file in files:
        try:
            cases += KINDS[asked.kind](file)
        except BeadcheckError as refusal:
            refusals[refusal.code] += 1
            if asked.verbose:
                print(f"{file.stem:8} {refusal}")
    report(cases, refusals, len(files), verbose=asked.verbose)
    print(f"{(time.perf_counter() - start) / max(1, len(files)):.2f} s a photo")


if __name__ == "__main__":
    main()
