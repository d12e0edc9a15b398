"""What a calibrated camera is worth: error and U of distances with it and without it.

Invented phones (lens, centre, a focal length other than stated, refocused for every photo) take
photos of the window card, from which each is calibrated; then photos to measure, with the card in
the middle of the picture, at its edge, or one strip beside the weld, and pairs for a height without
a step. Distances of 12 mm across and 60 mm along the weld, and the height, are read at true pixels,
so that the surface alone is judged; the print is true. Everything is cast here, seeded, and needs
no files but the target files.

Run it as ``python -m tests.benchmarks.camera_worth --phones 6``.
"""

import argparse
import tempfile
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

import numpy as np

from beadcheck.camera import CameraBook
from beadcheck.camera.calibrate import calibrate
from beadcheck.camera.card import Card
from beadcheck.coupon import Coupon
from beadcheck.photo import read_photo
from beadcheck.surface import PrintScale, solve_surface
from beadcheck.target.find import find_target
from beadcheck.target.read import read_target
from samples.making.card import read_sheets
from samples.making.develop import Development, develop, save_photo
from samples.making.metrology import Pose, camera_of, cast, sheet_xyz_mm

CALIBRATION = Path(__file__).parents[2] / "calibration"
TRUE_PRINT = PrintScale(ratio=1.0, u_ratio=1e-9)
NOT_OF_THE_CAMERA = ("print scale of the target", "paper in damp or dry air")
REFOCUS = 0.005


@dataclass(frozen=True, kw_only=True)
class Phone:
    """One invented phone and its generator."""

    rng: np.random.Generator
    focal_equiv_mm: float
    k1: float
    k2: float
    centre_shift_px: tuple[float, float]
    maker: tuple[str, str]

    @classmethod
    def drawn(cls, number: int) -> "Phone":
        rng = np.random.default_rng([8804, number])
        return cls(
            rng=rng,
            focal_equiv_mm=26.0 * (1.0 + rng.normal(0.01, 0.025)),
            k1=rng.normal(0.0, 0.04),
            k2=rng.normal(0.0, 0.05),
            centre_shift_px=tuple(rng.normal(0.0, 12.0, 2)),
            maker=("Drawn", f"phone {number}"),
        )

    def pose(self, tilt_deg: float, distance_mm: float, off_mm: tuple[float, float]) -> Pose:
        return Pose(
            distance_mm=distance_mm,
            focal_equiv_mm=self.focal_equiv_mm * (1.0 + self.rng.normal(0.0, REFOCUS)),
            tilt_deg=tilt_deg,
            tilt_towards_deg=float(self.rng.uniform(0, 360)),
            roll_deg=float(self.rng.normal(0, 10)),
            blur_px=float(self.rng.uniform(0.6, 1.3)),
            k1=self.k1,
            k2=self.k2,
            centre_shift_px=self.centre_shift_px,
            off_mm=off_mm,
            ink_mm=float(self.rng.normal(0.0, 0.015)),
        )

    def take(self, sheet, pose: Pose, path: Path) -> None:
        how = Development(blur_px=pose.blur_px, noise=6e-4, exposure=0.35, quality=90)
        light = cast(sheet, pose, rng=self.rng)
        save_photo(
            develop(light, how, rng=self.rng),
            path,
            focal_equiv_mm=26.0,
            how=how,
            taken="2026:03:02 09:00:00",
            maker=self.maker,
        )


def book_of(phone: Phone, folder: Path, photos: int) -> CameraBook:
    sheet = read_sheets(CALIBRATION / "plate-card.toml")[0]
    paths = []
    for number in range(photos):
        aside = tuple(phone.rng.normal(0.0, 4.0, 2))
        pose = phone.pose(
            float(phone.rng.uniform(15, 32)), float(phone.rng.uniform(168, 190)), aside
        )
        pose = replace(pose, tilt_towards_deg=360.0 * number / photos + 20.0)
        paths.append(folder / f"card-{number}.jpg")
        phone.take(sheet, pose, paths[-1])
    board = Card(designs=(read_target(CALIBRATION / "plate-card.toml"),))
    return CameraBook(cameras=(calibrate(paths, board, on=date(2026, 3, 2)).camera,))


def ends_mm(sheet, *, beside: bool) -> np.ndarray:
    """(N, 2, 2) ends of distances across and along a weld in the target's frame."""
    x0, y0, x1, y1 = sheet.box_mm
    middle = 0.5 * (y0 + y1) if not beside else y1 + 15.0
    if not beside:
        middle = 39.0 if y1 > 80 else middle  # of the card's window
    across = [[[x, middle - 6.0], [x, middle + 6.0]] for x in np.linspace(x0 + 25, x1 - 25, 5)]
    along = [[[0.5 * (x0 + x1) - 30.0, middle], [0.5 * (x0 + x1) + 30.0, middle]]]
    return np.array(across + along)


SCENES = {
    "card in the middle": ("plate-card.toml", 175.0, (3.0, -2.0), False),
    "card at the edge": ("plate-card.toml", 250.0, (62.0, 40.0), False),
    "one strip": ("plate-strips.toml", 165.0, (2.0, -14.0), True),
}


def readings(path: Path, pose: Pose, sheet, design, *, beside: bool, book: CameraBook):
    """Errors and expanded uncertainties, (N,) mm, and whether the calibration was used."""
    photo = read_photo(path)
    found = find_target(photo, (design,))
    surface = solve_surface(found, photo, Coupon(), TRUE_PRINT, cameras=book)
    places = ends_mm(sheet, beside=beside)
    pixels = camera_of(pose).project(sheet_xyz_mm(sheet, pose, places))
    read = surface.to_mm(pixels.reshape(-1, 2)).reshape(-1, 2, 2)
    errors, expanded = [], []
    for seen, true in zip(read, places, strict=True):
        errors.append(np.linalg.norm(seen[1] - seen[0]) - np.linalg.norm(true[1] - true[0]))
        budget = surface.distance_components(seen[:1], seen[1:])
        expanded.append(
            2.0
            * np.sqrt(
                sum(c.standard_uncertainty**2 for c in budget if c.source not in NOT_OF_THE_CAMERA)
            )
        )
    return np.array(errors), np.array(expanded), surface.calibration is not None


def height_reading(phone: Phone, folder: Path, book: CameraBook) -> list[tuple[float, float]]:
    """Height of a crown over the metal beside it, from two photos 18 degrees apart, no step."""
    sheet = read_sheets(CALIBRATION / "plate-card.toml")[0]
    design = replace(read_target(CALIBRATION / "plate-card.toml"), thickness_mm=0.0)
    towards = float(phone.rng.uniform(0, 360))
    places = sheet_xyz_mm(sheet, phone.pose(0.0, 1.0, (0.0, 0.0)), CROWN_AND_SIDES_MM)
    places[0, 2] += CROWN_MM
    views = []
    for turn in (0.0, 180.0):
        pose = replace(phone.pose(9.0, 180.0, (0.0, 8.0)), tilt_towards_deg=towards + turn)
        path = folder / f"pair-{turn:.0f}.jpg"
        phone.take(sheet, pose, path)
        photo = read_photo(path)
        views.append((photo, find_target(photo, (design,)), camera_of(pose).project(places)))
    readings = []
    for cameras in (CameraBook(), book):
        surfaces = [
            solve_surface(found, photo, Coupon(), TRUE_PRINT, cameras=cameras)
            for photo, found, _ in views
        ]
        pixels = [seen for _, _, seen in views]
        height = triangulated_mm(surfaces, pixels)
        doubts = []
        for number, surface in enumerate(surfaces):
            moved = [
                triangulated_mm([*surfaces[:number], other, *surfaces[number + 1 :]], pixels)
                for other in surface.one_sigma()
            ]
            doubts.append(np.sqrt(((np.array(moved) - height) ** 2).sum()))
        # One camera took both: what is wrong with it is wrong in both.
        readings.append((height - CROWN_MM, 2.0 * sum(doubts)))
    return readings


CROWN_MM = 3.0
CROWN_AND_SIDES_MM = np.array([[60.0, 44.0], [60.0, 34.5], [60.0, 53.5]])


def triangulated_mm(surfaces, pixels) -> float:
    """Height of the first point over the mean of the others."""
    eyes, lines = [], []
    for surface, seen in zip(surfaces, pixels, strict=True):
        # The space frames differ by the place of their origin on the plate.
        origin = np.array([*surface.model.pivot_mm, 0.0])
        eyes.append(surface.eye_mm + origin)
        sight = surface.sight_lines(seen)
        lines.append(sight / np.linalg.norm(sight, axis=1, keepdims=True))
    heights = []
    for first, second in zip(*lines, strict=True):
        reach, *_ = np.linalg.lstsq(np.column_stack([first, -second]), eyes[1] - eyes[0])
        middle = 0.5 * (eyes[0] + reach[0] * first + eyes[1] + reach[1] * second)
        heights.append(-middle[2])
    return heights[0] - float(np.mean(heights[1:]))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--phones", type=int, default=6)
    parser.add_argument("--photos", type=int, default=6, help="of the card, to calibrate from")
    parser.add_argument("--measured", type=int, default=3, help="photos of each arrangement")
    choice = parser.parse_args()
    rows: dict[tuple[str, str], list] = {}
    used = wanted = 0

    def add(scene: str, calibrated: bool, errors, expanded) -> None:
        row = rows.setdefault((scene, "calibrated" if calibrated else "without"), [])
        row.extend(zip(np.atleast_1d(errors), np.atleast_1d(expanded), strict=True))

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for number in range(choice.phones):
            phone = Phone.drawn(number)
            book = book_of(phone, folder, choice.photos)
            for scene, (file, distance, off, beside) in SCENES.items():
                sheet = read_sheets(CALIBRATION / file)[0]
                design = replace(read_target(CALIBRATION / file), thickness_mm=0.0)
                for _ in range(choice.measured):
                    pose = phone.pose(float(phone.rng.uniform(2, 25)), distance, off)
                    path = folder / "measured.jpg"
                    phone.take(sheet, pose, path)
                    for cameras in (CameraBook(), book):
                        errors, expanded, calibrated = readings(
                            path, pose, sheet, design, beside=beside, book=cameras
                        )
                        wanted, used = wanted + bool(cameras.cameras), used + calibrated
                        calibrated = bool(cameras.cameras)
                        add(f"{scene}, 12 mm", calibrated, errors[:-1], expanded[:-1])
                        add(f"{scene}, 60 mm", calibrated, errors[-1:], expanded[-1:])
            for _ in range(choice.measured):
                heights = height_reading(phone, folder, book)
                for calibrated, (error, expanded) in zip((False, True), heights, strict=True):
                    add("height of 3 mm, pair", calibrated, error, expanded)
            print(f"phone {number} of {choice.phones} done", flush=True)
    print(f"calibration used in {used} of {wanted} single photos")
    print("errors and U in um, U without print scale and paper")
    for (scene, calibrated), row in rows.items():
        error, u = 1e3 * np.array(row).T
        print(
            f"{scene:28s} {calibrated:11s} rms error {np.sqrt((error**2).mean()):6.1f}, "
            f"median U {np.median(u):6.1f}, |error| <= U in {(np.abs(error) <= u).mean():.0%} "
            f"of {error.size}"
        )


if __name__ == "__main__":
    main()
