"""The weld round a pipe, seen by a pinhole camera that is worked out here from first principles.

Every photo sees a cylinder on which the place along is painted as three phases of a wave, so that a
pixel of the flat picture tells by itself which place it shows.
"""

import math
from dataclasses import dataclass

import numpy as np
import pytest

from beadcheck.limits import Finding
from beadcheck.photo import Lens, Photo
from beadcheck.report.whole.cut import WeldCut, weld_cut
from beadcheck.report.whole.unrolled import Unrolled, unrolled_weld
from beadcheck.result import (
    BeyondLimitRecord,
    CheckRecord,
    CouponRecord,
    GapRecord,
    HalfValueRecord,
    PhotoRecord,
    PlacedPhotoRecord,
    QuantityRecord,
    Result,
    SectorRecord,
    SectorValueRecord,
    StartStopRecord,
    StationRecord,
    TargetFrameRecord,
    WholeCrestRecord,
    WholeStationRecord,
    WholeWeldRecord,
)

GIRTH_MM = 211.0
RADIUS_MM = GIRTH_MM / (2.0 * math.pi)
WAVE_MM = GIRTH_MM / 9.0
"""A whole number of waves goes round."""
REACH_MM = 27.0
MIDDLES_MM = (17.0, 59.0, 101.0, 143.0, 186.0)
ROLLS_DEG = (8.0, 171.0, -24.0, 97.0, 3.0)
SIZE_PX = (760, 520)
FOCAL_PX = 1900.0
AWAY_MM = 170.0
GAP = 3


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A pinhole that looks at the pipe's axis, off its square, rolled about its view."""

    middle_mm: float
    roll_deg: float

    @property
    def rows(self) -> np.ndarray:
        """Right, down and forward in the pipe's frame; its axis is the last coordinate."""
        theta = self.middle_mm / RADIUS_MM
        forward = -np.array([math.cos(theta), math.sin(theta), 0.06])
        forward /= np.linalg.norm(forward)
        right = np.array([-math.sin(theta), math.cos(theta), 0.0])
        down = np.cross(forward, right)
        turn = math.radians(self.roll_deg)
        return np.stack(
            [
                math.cos(turn) * right + math.sin(turn) * down,
                -math.sin(turn) * right + math.cos(turn) * down,
                forward,
            ]
        )

    @property
    def centre(self) -> np.ndarray:
        return -self.rows[2] * (RADIUS_MM + AWAY_MM) + np.array([0.0, 0.0, -9.0])

    def seen_px(self, arc_mm: np.ndarray, across_mm: np.ndarray) -> np.ndarray:
        theta = arc_mm / RADIUS_MM
        points = np.stack([RADIUS_MM * np.cos(theta), RADIUS_MM * np.sin(theta), across_mm], axis=1)
        view = (points - self.centre) @ self.rows.T
        return FOCAL_PX * view[:, :2] / view[:, 2:] + 0.5 * (np.array(SIZE_PX) - 1.0)

    def picture(self) -> np.ndarray:
        """The painted pipe: rays through every pixel, met with the cylinder."""
        x, y = np.meshgrid(*(np.arange(n) - 0.5 * (n - 1) for n in SIZE_PX))
        rays = np.stack([x, y, np.full(x.shape, FOCAL_PX)], axis=-1) @ self.rows
        a = (rays[..., :2] ** 2).sum(axis=-1)
        b = rays[..., :2] @ self.centre[:2]
        c = float(self.centre[:2] @ self.centre[:2]) - RADIUS_MM**2
        under = b**2 - a * c
        along = (-b - np.sqrt(np.maximum(under, 0.0))) / a
        points = self.centre + along[..., None] * rays
        arc_mm = np.arctan2(points[..., 1], points[..., 0]) * RADIUS_MM
        bgr = painted(arc_mm)
        left_mm, right_mm = toes_mm(arc_mm)
        bgr[(points[..., 2] < left_mm) | (points[..., 2] > right_mm)] //= 4
        bgr[under < 0.0] = 0
        return bgr


def painted(arc_mm: np.ndarray) -> np.ndarray:
    phases = 2.0 * np.pi * (arc_mm[..., None] / WAVE_MM + np.arange(3) / 3.0)
    return np.round(140.0 + 100.0 * np.cos(phases)).astype(np.uint8)


def told_mm(bgr: np.ndarray) -> np.ndarray:
    """Place by the three phases, up to whole waves."""
    wave = bgr.astype(np.float64) @ np.exp(-2j * np.pi * np.arange(3) / 3.0)
    return np.angle(wave) / (2.0 * np.pi) * WAVE_MM


def toes_mm(arc_mm: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    waves = np.sin(2.0 * np.pi * 3.0 * arc_mm / GIRTH_MM)
    return -13.0 + 0.4 * waves, -6.0 - 0.3 * waves


def station(photo: int, arc_mm: float, offset_mm: float, camera: Camera) -> StationRecord:
    (left,), (right,) = toes_mm(np.array([arc_mm]))
    seen = camera.seen_px(np.array([arc_mm, arc_mm]), np.array([left, right]))
    return StationRecord(
        photo=photo,
        s_mm=arc_mm - offset_mm,
        clock_deg=360.0 * arc_mm / GIRTH_MM % 360.0,
        left_toe_px=(float(seen[0, 0]), float(seen[0, 1])),
        right_toe_px=(float(seen[1, 0]), float(seen[1, 1])),
        weld_width_mm=float(right - left),
        weld_width_U_mm=0.2,
        sure=True,
        steady=True,
        left_toe_mm=(arc_mm - offset_mm, float(left)),
        right_toe_mm=(arc_mm - offset_mm, float(right)),
        seen_at_deg=90.0 - 1.2 * math.degrees(abs(arc_mm - camera.middle_mm) / RADIUS_MM),
    )


def value(name: str, statistic: str, number: float) -> SectorValueRecord:
    return SectorValueRecord(
        name=name,
        statistic=statistic,
        value=number,
        unit="mm",
        expanded_uncertainty=0.2,
        count=17,
    )


def sector(number: int) -> SectorRecord:
    wide = GIRTH_MM / 12.0
    return SectorRecord(
        number=number,
        from_arc_mm=(number - 0.5) * wide,
        to_arc_mm=(number + 0.5) * wide,
        middle_clock_deg=30.0 * number,
        covered_ratio=0.0 if number == 8 else 1.0,
        values=()
        if number == 8
        else (
            value("weld_width", "mean", 7.0 + 0.05 * number),
            value("weld_width", "sd", 0.1),
            value("ripple_spacing", "mean", 2.0),
        ),
    )


def whole_weld(stations: tuple[StationRecord, ...]) -> WholeWeldRecord:
    """The record as the truth has it; the photo GAP is missing."""
    merged = []
    for arc_mm in np.arange(0.5, GIRTH_MM):
        near = [
            (abs((arc_mm - middle + 0.5 * GIRTH_MM) % GIRTH_MM - 0.5 * GIRTH_MM), photo)
            for photo, middle in enumerate(MIDDLES_MM)
            if photo != GAP
        ]
        away, photo = min(near)
        if away > REACH_MM:
            continue
        (left,), (right,) = toes_mm(np.array([arc_mm]))
        merged.append(
            WholeStationRecord(
                arc_mm=float(arc_mm),
                arc_U_mm=0.1,
                clock_deg=360.0 * arc_mm / GIRTH_MM,
                left_across_mm=float(left),
                right_across_mm=float(right),
                weld_width_mm=float(right - left),
                weld_width_U_mm=0.2,
                photo=photo,
                photos=(photo,),
                station=next(k for k, each in enumerate(stations) if each.photo == photo),
            )
        )
    first, last = MIDDLES_MM[2] + REACH_MM, MIDDLES_MM[4] - REACH_MM
    return WholeWeldRecord(
        shape="pipe",
        photos=(0, 1, 2, 4),
        placed=tuple(
            PlacedPhotoRecord(
                photo=photo,
                offset_mm=3.0 * photo,
                offset_U_mm=0.1,
                from_arc_mm=MIDDLES_MM[photo] - REACH_MM,
                to_arc_mm=MIDDLES_MM[photo] + REACH_MM,
            )
            for photo in (0, 1, 2, 4)
        ),
        left_out=(),
        length_mm=GIRTH_MM,
        length_U_mm=0.3,
        outside_diameter_mm=2.0 * RADIUS_MM,
        clock_sense=1,
        closure=None,
        joints=(),
        stations=tuple(merged),
        crests=(WholeCrestRecord(arc_mm=31.0, clock_deg=52.9, photo=0, ripple=0),),
        crest_count=None,
        crest_count_U=None,
        gaps=(
            GapRecord(
                from_arc_mm=first,
                to_arc_mm=last,
                from_clock_deg=360.0 * first / GIRTH_MM,
                to_clock_deg=360.0 * last / GIRTH_MM,
                words="Photograph here: from 7:15 o'clock to 9 o'clock, 31 mm.",
            ),
        ),
        sectors=tuple(sector(number) for number in range(12)),
        beyond_limits=(
            BeyondLimitRecord(
                name="weld_width",
                from_arc_mm=66.0,
                to_arc_mm=69.0,
                from_clock_deg=112.6,
                to_clock_deg=117.7,
                worst_arc_mm=67.0,
                worst_clock_deg=114.3,
                worst_value=7.9,
                expanded_uncertainty=0.1,
                limit=0.6,
                beyond=0.3,
                unit="mm",
                sure=True,
                source="Harrow Quay Weld Shop",
            ),
        ),
        halves=(
            HalfValueRecord(
                name="weld_width",
                statistic="mean",
                first=7.1,
                second=7.4,
                difference=-0.3,
                expanded_uncertainty=0.1,
                unit="mm",
                words="The first half is narrower: 7.10 against 7.40 mm.",
            ),
        ),
        start_stops=(
            StartStopRecord(
                kind="tie-in",
                arc_mm=80.0,
                arc_U_mm=3.0,
                clock_deg=136.5,
                doubt=0.4,
                signs=("bulge",),
                photos=(1,),
                words="At 4:30 o'clock the weld bulges. Look there.",
            ),
        ),
    )


@dataclass(frozen=True, kw_only=True)
class Scene:
    """The result, the cuts of its photos, and the truth; one photo is missing."""

    result: Result
    cuts: list[WeldCut]
    middles_mm: dict[int, float]
    gap_mm: tuple[float, float]
    girth_mm: float = GIRTH_MM
    wave_mm: float = WAVE_MM

    @property
    def whole(self) -> WholeWeldRecord:
        assert self.result.whole_weld is not None
        return self.result.whole_weld

    def toes_mm(self, arc_mm: float) -> tuple[float, float]:
        (left,), (right,) = toes_mm(np.array([arc_mm]))
        return float(left), float(right)

    def told_mm(self, bgr: np.ndarray) -> np.ndarray:
        """Places that pixels show, up to whole waves."""
        return told_mm(bgr)


@pytest.fixture(scope="session")
def ring() -> Scene:
    """A pipe's result and the cuts of its photos; one photo is missing."""
    cameras = [Camera(middle_mm=m, roll_deg=r) for m, r in zip(MIDDLES_MM, ROLLS_DEG, strict=True)]
    frame = TargetFrameRecord(
        parts=(),
        print_ratio=1.0,
        print_u_ratio=0.005,
        bar_measured=False,
        clock_sense=1,
        turn_mm=None,
        strip_diameter_mm=None,
        alone_diameter_mm=None,
        alone_diameter_u_mm=None,
    )
    records = tuple(
        PhotoRecord(
            file=f"ring-{photo}.jpg",
            kind="face",
            usable=photo != GAP,
            px_per_mm=FOCAL_PX / AWAY_MM,
            tilt_deg=4.0,
            distance_mm=AWAY_MM,
            problems=(),
            frame=frame,
        )
        for photo in range(len(cameras))
    )
    stations = tuple(
        station(photo, arc_mm, 3.0 * photo, camera)
        for photo, camera in enumerate(cameras)
        for arc_mm in np.arange(camera.middle_mm - REACH_MM, camera.middle_mm + REACH_MM + 0.5)
        if photo != GAP
    )
    result = Result(
        coupon=CouponRecord(
            shape="pipe",
            outside_diameter_mm=2.0 * RADIUS_MM,
            wall_thickness_mm=5.5,
            weld_pass="cap",  # noqa: S106  # no password
        ),
        photos=records,
        stations=stations,
        quantities=(
            QuantityRecord(
                name="weld_width",
                statistic="mean",
                value=7.2,
                unit="mm",
                expanded_uncertainty=0.1,
                coverage_factor=2.0,
                count=180,
                scope="coupon",
                photo=None,
                side=None,
                s_range_mm=None,
                photos=(0, 1, 2, 4),
            ),
        ),
        checks=(
            CheckRecord(
                name="weld_width",
                finding=Finding.OUTSIDE,
                value=0.9,
                limit=0.6,
                unit="mm",
                source="Harrow Quay Weld Shop",
                statistic="max - mean",
                photos=(0, 1, 2, 4),
            ),
        ),
        whole_weld=whole_weld(stations),
    )
    cuts = []
    for photo, camera in enumerate(cameras):
        pixels = camera.picture()
        cut = weld_cut(
            Photo(file=f"ring-{photo}.jpg", pixels_bgr=pixels, lens=Lens()), result, photo
        )
        cuts += [] if cut is None else [cut]
    return Scene(
        result=result,
        cuts=cuts,
        middles_mm={k: m for k, m in enumerate(MIDDLES_MM) if k != GAP},
        gap_mm=(MIDDLES_MM[GAP - 1] + REACH_MM, MIDDLES_MM[GAP + 1] - REACH_MM),
    )


@pytest.fixture(scope="session")
def flat(ring: Scene) -> Unrolled:
    unrolled = unrolled_weld(ring.result, ring.cuts, longest_px=1900)
    assert unrolled is not None
    return unrolled
