"""Objects of known size measured as a weld would be: a coin and gauge steps on a bare plate.

    python tests/benchmarks/known_shapes.py SET… [--targets FOLDER…]

SET is a folder of NAME.jpg and NAME.json (format in samples/README.md); what counts are its photos
of the forms "coin", "gauge" and "flat". The coin is the 1 euro: 2.33 mm at its rim, Council
Regulation (EU) No 729/2014, annex I (tests/reference/test_against_euro_coin.py says how that was
verified). Heights are levelled on the bare plate beside the object, which is itself a value: 0.
"""

import argparse
import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from heights import target_folders
from numpy.typing import NDArray
from scipy.spatial import KDTree

from beadcheck.coupon import Coupon
from beadcheck.errors import BeadcheckError
from beadcheck.photo import read_photo
from beadcheck.profiles import Profile
from beadcheck.profiles.light_line import KnownStep, LightAngle, light_line_profiles
from beadcheck.profiles.pair import PairView, pair_heights, sections
from beadcheck.quantity import COVERAGE_FACTOR, combined_standard_uncertainty
from beadcheck.surface import print_scale, solve_surface
from beadcheck.target.find import find_target
from beadcheck.target.read import read_target
from beadcheck.toes import LocatedWeld
from beadcheck.toes.locate import oriented_axis

FORMS = ("coin", "gauge", "flat")
U_ANGLE_DEG = 0.5  # of a projector that a user sets up with a printed angle
ON_LINE_PX = 3.0
"""A profile's point further from the true line belongs to nothing that the truth knows."""
TOP_MM = 0.02  # a coin's faces lie 0.12 mm below its rim
EDGE_PX = 12.0  # matching smooths over edges
HALF_MM, WIDTH_MM = 25.0, 14.0  # of the strip of plate that a pair is measured over


@dataclass(frozen=True, kw_only=True)
class Known:
    """Mean height of one flat place against its size, in mm."""

    photo: str
    what: str
    value_mm: float
    true_mm: float
    expanded_mm: float
    count: int


def view_of(picture: Path, truth: dict) -> PairView:
    """The photo of a picture with its target found and its surface solved."""
    photo = read_photo(picture)
    name = truth["cards"][0]["target_file"]
    design = read_target(next(f / name for f in target_folders if (f / name).exists()))
    found = find_target(photo, [design])
    surface = solve_surface(found, photo, Coupon(), print_scale(design, None))
    return PairView(photo=photo, found=found, surface=surface)


def light_line_known(file: Path) -> Iterator[Known]:
    """Heights along a line of light over what the truth says the line lies on."""
    truth = json.loads(file.read_text(encoding="utf-8"))
    view = view_of(file.with_suffix(".jpg"), truth)
    line = truth["laser"]
    step = truth["step"]
    angle = LightAngle(angle_deg=line["angle_from_normal_deg"], u_angle_deg=U_ANGLE_DEG)
    light = angle if step is None else KnownStep(thickness_mm=step["thickness_mm"])
    (profile, *_) = light_line_profiles(view.photo, view.surface, light)
    true_mm, on = along_line(profile, line)
    bare = on == "base"
    yield from levelled(file.stem, profile, bare, {
        f"{block['kind']} {block['thickness_mm']}": np.isclose(
            true_mm, block["thickness_mm"], atol=TOP_MM
        )
        for block in truth["blocks"] if block["kind"] != "step"
    })  # fmt: skip


def along_line(profile: Profile, line: dict) -> tuple[NDArray[np.float64], NDArray[np.str_]]:
    """(N,) true height and (N,) what each point of a profile lies on; "" where that is unknown."""
    places = np.array(line["line_px"], dtype=np.float64)
    known = np.isfinite(places).all(axis=1)
    known &= np.array(line["lit"], dtype=bool) & np.array(line["in_view"], dtype=bool)
    height = np.array(line["z_mm"], dtype=np.float64)[known]
    on = np.array(line["on"])[known]
    there = np.isfinite(profile.points_px).all(axis=1) & np.isfinite(profile.height_mm)
    off_px, nearest = KDTree(places[known]).query(np.where(there[:, None], profile.points_px, -1e4))
    found = there & (off_px < ON_LINE_PX)
    return np.where(found, height[nearest], np.nan), np.where(found, on[nearest], "")


def levelled(
    photo: str, profile: Profile, bare: NDArray[np.bool_], tops: dict[str, NDArray[np.bool_]]
) -> Iterator[Known]:
    """Mean heights over the tops, and over the far half of the bare metal, which is flat."""
    across, height = profile.across_mm, profile.height_mm
    # Every second millimetre levels, those between are judged.
    levels = bare & (np.floor(across).astype(int) % 2 == 0)
    if levels.sum() < 5:
        return
    height = height - np.polyval(np.polyfit(across[levels], height[levels], 1), across)
    for what, where in {"bare metal": bare & ~levels, **tops}.items():
        if where.sum() < 5:
            continue
        true_mm = 0.0 if what == "bare metal" else float(what.split()[1])
        yield known(photo, what, height[where], profile.u_height_mm[where], true_mm, profile)


def known(
    photo: str,
    what: str,
    height_mm: NDArray[np.float64],
    u_mm: NDArray[np.float64],
    true_mm: float,
    profile: Profile,
) -> Known:
    """Median over a flat place; a point's own uncertainty stands for it, as for a highest point."""
    gain = combined_standard_uncertainty(profile.gain_budget) * true_mm
    form = combined_standard_uncertainty(profile.form_budget)
    return Known(
        photo=photo,
        what=what,
        value_mm=float(np.median(height_mm)),
        true_mm=true_mm,
        expanded_mm=COVERAGE_FACTOR * float(np.linalg.norm([np.median(u_mm), gain, form])),
        count=len(height_mm),
    )


def pair_known(file: Path) -> Iterator[Known]:
    """Heights of a pair over each block's top, and over the bare metal between."""
    truth = json.loads(file.read_text(encoding="utf-8"))
    other = file.with_name(file.name.replace("a.json", "b.json"))
    views = [
        view_of(each.with_suffix(".jpg"), json.loads(each.read_text(encoding="utf-8")))
        for each in (file, other)
    ]
    step = truth["step"]
    profiles = sections(
        pair_heights(
            views,
            coupon=Coupon(),
            weld=pointed_at(views[0], truth["camera"]),
            step=None
            if step is None
            else KnownStep(thickness_mm=step["thickness_mm"], place_px=tuple(step["middle_px"])),
        )
    )
    if not profiles:
        return
    px = np.concatenate([profile.points_px for profile in profiles])
    height = np.concatenate([profile.height_mm for profile in profiles])
    u = np.concatenate([profile.u_height_mm for profile in profiles])
    seen = np.isfinite(height) & np.isfinite(px).all(axis=1)
    inside = {
        f"{block['kind']} {block['thickness_mm']}": inside_px(px, block["corners_px"])
        for block in truth["blocks"]
    }
    bare = np.max([*inside.values(), np.full(len(px), -1e3)], axis=0) < -EDGE_PX
    for what, depth in {"bare metal": np.where(bare, 1e3, -1.0), **inside}.items():
        where = seen & (depth > EDGE_PX)
        if where.sum() >= 5:
            true_mm = 0.0 if what == "bare metal" else float(what.split()[1])
            yield known(file.stem[:-1], what, height[where], u[where], true_mm, profiles[0])


def pointed_at(view: PairView, camera: dict) -> LocatedWeld:
    """The line along which a bead would lie, as a user points it out: t = 0 of the truth."""
    turn, _ = cv2.Rodrigues(np.array(camera["R"]))
    ends_px, _ = cv2.projectPoints(
        np.array([[-HALF_MM, 0.0, 0.0], [HALF_MM, 0.0, 0.0]]), turn, np.array(camera["t"]),
        np.array(camera["K"]), np.array(camera["dist_k1_k2_p1_p2_k3"]),
    )  # fmt: skip
    ends_mm = view.surface.to_mm(ends_px.reshape(-1, 2))
    middle_mm = ends_mm.mean(axis=0)
    along_mm = ends_mm[1] - ends_mm[0]
    axis = oriented_axis(middle_mm, along_mm / np.linalg.norm(along_mm), view.surface)
    reach = (-HALF_MM, HALF_MM)
    return LocatedWeld(axis=axis, s_range_mm=reach, width_mm=WIDTH_MM, reach_mm=reach)


def inside_px(px: NDArray[np.float64], corners_px: list) -> NDArray[np.float64]:
    """(N,) how far each pixel lies inside an outline; negative outside it."""
    outline = np.array(corners_px, dtype=np.float32).reshape(-1, 1, 2)
    return np.array([cv2.pointPolygonTest(outline, (float(x), float(y)), True) for x, y in px])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("sets", nargs="+", type=Path)
    parser.add_argument("--targets", nargs="*", type=Path, default=[], help="more target files")
    asked = parser.parse_args()
    target_folders.extend(asked.targets)
    rows: list[Known] = []
    for file in (file for folder in asked.sets for file in sorted(folder.glob("*.json"))):
        truth = json.loads(file.read_text(encoding="utf-8"))
        ways = {"light-line": light_line_known, "pair": pair_known}
        if truth["tags"][-1] not in FORMS or truth["kind"] not in ways:
            continue
        if truth["kind"] == "pair" and not file.stem.endswith("a"):
            continue
        try:
            found = list(ways[truth["kind"]](file))
        except BeadcheckError as refusal:
            print(f"{file.parent.name}/{file.stem}: {refusal}")
            continue
        if not found:
            print(f"{file.parent.name}/{file.stem}: no heights where the truth has them")
        rows += found
    print(f"{'photo':6} {'what':12} {'value':>7} {'true':>6} {'error':>7} {'U':>6}")
    for row in rows:
        error = row.value_mm - row.true_mm
        mark = "" if abs(error) <= row.expanded_mm else "  beyond U"
        print(
            f"{row.photo:6} {row.what:12} {row.value_mm:7.3f} {row.true_mm:6.2f} {error:+7.3f} "
            f"{row.expanded_mm:6.3f} n={row.count}{mark}"
        )


if __name__ == "__main__":
    main()
