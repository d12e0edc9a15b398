"""An invented weld for the tests of pictures and tables: plain grey photo, toes known exactly."""

import math
from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from beadcheck.limits import Finding
from beadcheck.photo import Lens, Photo
from beadcheck.result import (
    AdviceRecord,
    BaseLineRecord,
    CheckRecord,
    CouponRecord,
    NotMeasuredRecord,
    PhotoRecord,
    ProblemRecord,
    ProfileRecord,
    QuantityRecord,
    ReadingRecord,
    Result,
    RippleRecord,
    StationRecord,
)

GREY_BGR = (96, 104, 112)
PX_PER_MM = 11.0
ANGLE_DEG = 7.0
FIRST_PX = np.array([210.0, 470.0])
ALONG = np.array([math.cos(math.radians(ANGLE_DEG)), math.sin(math.radians(ANGLE_DEG))])
ACROSS = np.array([-ALONG[1], ALONG[0]])
STATIONS = 71
UNSURE = range(30, 37)
LEFT_OUT = (*range(6), *range(66, 71))


def width_mm(station: int) -> float:
    """Narrowest at 12, widest at 52."""
    return 9.0 + 0.6 * math.sin(math.pi * (station - 32) / 40.0)


def plain_photo(*, width_px: int = 1300, height_px: int = 980, file: str = "coupon.jpg") -> Photo:
    pixels = np.full((height_px, width_px, 3), GREY_BGR, dtype=np.uint8)
    return Photo(file=file, pixels_bgr=pixels, lens=Lens())


def station(index: int, *, pipe: bool = False) -> StationRecord:
    middle = FIRST_PX + PX_PER_MM * index * ALONG
    half = 0.5 * width_mm(index) * PX_PER_MM * ACROSS
    left, right = middle - half, middle + half
    return StationRecord(
        photo=0,
        s_mm=float(index),
        clock_deg=(340.0 + 0.8 * index) % 360.0 if pipe else None,
        left_toe_px=(float(left[0]), float(left[1])),
        right_toe_px=(float(right[0]), float(right[1])),
        weld_width_mm=width_mm(index),
        weld_width_U_mm=0.21,
        sure=index not in UNSURE,
        steady=index not in LEFT_OUT,
    )


def ripple(s_mm: float) -> RippleRecord:
    x, y = FIRST_PX + PX_PER_MM * s_mm * ALONG
    return RippleRecord(photo=0, s_mm=s_mm, px=(float(x), float(y)))


def quantity(name: str, statistic: str, value: float, expanded: float) -> QuantityRecord:
    return QuantityRecord(
        name=name,
        statistic=statistic,
        value=value,
        unit="ratio" if name == "pulse_overlap" else "mm",
        expanded_uncertainty=expanded,
        coverage_factor=2.0,
        count=53,
        scope="photo",
        photo=0,
        side=None,
        s_range_mm=(6.0, 65.0),
    )


def check(finding: Finding, *, limit_mm: float = 1.6) -> CheckRecord:
    missing = finding is Finding.NOT_MEASURED
    return CheckRecord(
        name="weld_width",
        finding=finding,
        value=None if missing else 0.6,
        limit=limit_mm,
        unit="mm",
        source="Harrow Quay Weld Shop (first term), rule 3",
        statistic="max - mean",
        expanded_uncertainty=None if missing else 0.24,
        photo=0,
    )


def measured_result(*, pipe: bool = False, file: str = "coupon.jpg") -> Result:
    coupon = CouponRecord(
        shape="pipe" if pipe else "plate",
        outside_diameter_mm=219.1 if pipe else None,
        wall_thickness_mm=10.31,
        weld_pass="cap",  # noqa: S106  # no password
        process="smaw",
        position="5G" if pipe else "1G",
    )
    photo = PhotoRecord(
        file=file,
        kind="face",
        usable=True,
        px_per_mm=PX_PER_MM,
        tilt_deg=6.2,
        distance_mm=204.0,
        problems=(),
    )
    return Result(
        coupon=coupon,
        photos=(photo,),
        stations=tuple(station(index, pipe=pipe) for index in range(STATIONS)),
        ripples=tuple(ripple(3.0 + 2.1 * count) for count in range(31)),
        quantities=(
            quantity("weld_width", "mean", 9.0, 0.19),
            quantity("weld_width", "min", 8.4, 0.21),
            quantity("ripple_spacing", "mean", 2.1, 0.034),
            quantity("pulse_overlap", "mean", 0.62, 0.031),
        ),
        not_measured=(
            NotMeasuredRecord(
                name="face_reinforcement",
                reason="A face photo alone gives no height.",
                how_to="Take a pair of photos.",
                photo=0,
            ),
        ),
        checks=tuple(check(finding) for finding in Finding),
        advice=(
            AdviceRecord(
                symptom="Toes wander", change="Brace your hand.", why="The torch then runs true."
            ),
        ),
        limits="Harrow Quay Weld Shop, first term",
        made_with="beadcheck 0.1.0",
    )


def unscaled_result(*, file: str = "old photo.jpg") -> Result:
    """Return the same weld as a photo without a target gives it: pixels, and shares of the mean."""
    whole = measured_result(file=file)
    lengths = [each for each in whole.quantities if each.unit == "mm"]
    in_px = [
        replace(
            each,
            value=each.value * PX_PER_MM,
            unit="px",
            expanded_uncertainty=each.expanded_uncertainty * PX_PER_MM,
            s_range_mm=None,
            s_range_px=(66.0, 715.0),
        )
        for each in lengths
    ]
    narrowest = in_px[1]
    share = replace(narrowest, value=0.933, unit="ratio", expanded_uncertainty=0.0206)
    overlap = replace(whole.quantities[-1], s_range_mm=None, s_range_px=(66.0, 715.0))
    photo = replace(
        whole.photos[0], px_per_mm=None, tilt_deg=None, distance_mm=None, without_target=True
    )
    return replace(
        whole,
        coupon=replace(whole.coupon, wall_thickness_mm=None),
        photos=(photo,),
        stations=tuple(_unscaled_station(each) for each in whole.stations),
        ripples=tuple(
            replace(each, s_mm=None, s_px=each.s_mm * PX_PER_MM) for each in whole.ripples
        ),
        quantities=(*in_px[:2], share, *in_px[2:], overlap),
        checks=(),
    )


def _unscaled_station(whole: StationRecord) -> StationRecord:
    return replace(
        whole,
        s_mm=None,
        s_px=whole.s_mm * PX_PER_MM,
        weld_width_mm=None,
        weld_width_px=whole.weld_width_mm * PX_PER_MM,
        weld_width_U_mm=None,
        weld_width_U_px=whole.weld_width_U_mm * PX_PER_MM,
    )


def refused_result(message: str = "No target was found. Lay one beside the weld.") -> Result:
    whole = measured_result()
    photo = replace(
        whole.photos[0],
        usable=False,
        px_per_mm=None,
        tilt_deg=None,
        distance_mm=None,
        problems=(ProblemRecord(code="no_target", message=message),),
    )
    return Result(coupon=whole.coupon, photos=(photo,), made_with="beadcheck 0.1.0")


def section(index: int, *, kind: str = "light-line", photos: int = 1) -> ProfileRecord:
    """Return an arc 10 mm wide and 1.8 mm high, more at higher stations; undercut on the left."""
    across = np.linspace(-11.0, 11.0, 221)
    high = 1.8 + 0.02 * index
    height = np.where(np.abs(across) < 5.0, high * (1.0 - (across / 5.0) ** 2), 0.0)
    height -= 0.4 * np.exp(-(((across + 5.4) / 0.25) ** 2))
    hole = np.abs(across - 2.0) < 0.3
    start = FIRST_PX + PX_PER_MM * 5.0 * index * ALONG
    points = start + PX_PER_MM * (across[:, None] * ACROSS - height[:, None] * ALONG)
    reading = partial(ReadingRecord, side=None, unit="mm", expanded_uncertainty=0.09)
    return ProfileRecord(
        photo=0 if photos == 1 else None,
        photos=() if photos == 1 else tuple(range(photos)),
        method=kind,
        s_mm=5.0 * index,
        clock_deg=None,
        across_mm=tuple(across.tolist()),
        height_mm=tuple(None if h else z for h, z in zip(hole, height.tolist(), strict=True)),
        U_mm=tuple(None if h else 0.08 for h in hole),
        points_px=tuple((x, y) for x, y in points.tolist()),
        left_toe_px=tuple((start - 5.0 * PX_PER_MM * ACROSS).tolist()),
        right_toe_px=tuple((start + 5.0 * PX_PER_MM * ACROSS).tolist()),
        left_toe_across_mm=-5.0,
        right_toe_across_mm=5.0,
        left_base=BaseLineRecord(across_mm=(-10.0, -6.2), height_mm=(0.0, 0.0)),
        right_base=BaseLineRecord(across_mm=(6.2, 10.0), height_mm=(0.0, 0.0)),
        above="the base metal",
        readings=(
            reading(name="face_reinforcement", value=high, across_mm=0.1),
            reading(name="underfill", value=0.0, expanded_uncertainty=0.0, across_mm=3.9),
            reading(name="undercut_depth", side="left", value=0.4, across_mm=-5.4),
            reading(name="undercut_depth", side="right", value=0.02, across_mm=None),
            reading(name="toe_angle", side="left", value=141.2, unit="deg", across_mm=-5.0),
        ),
    )


def section_result(*, count: int = 1, kind: str = "light-line", photos: int = 1) -> Result:
    whole = measured_result()
    owner = {"photo": 0} if photos == 1 else {"photo": None, "photos": tuple(range(photos))}
    height = replace(
        quantity("face_reinforcement", "max", 1.8, 0.09), count=count, s_range_mm=(0.0, 9.0)
    )
    heights = [
        replace(height, statistic=each, photo=owner["photo"], photos=owner.get("photos", ()))
        for each in ("mean", "min", "max")
    ]
    limits = [
        replace(
            check(Finding.UNDECIDED, limit_mm=limit_mm),
            name=name,
            statistic="max",
            side=side,
            photo=owner["photo"],
            photos=owner.get("photos", ()),
        )
        for name, limit_mm, side in (
            ("face_reinforcement", 1.9, None),
            ("undercut_depth", 0.5, "left"),
            ("undercut_depth", 0.5, "right"),
            ("underfill", 1.0, None),
        )
    ]
    names = [f"coupon-{letter}.jpg" for letter in "abc"[:photos]]
    return replace(
        whole,
        photos=tuple(replace(whole.photos[0], file=name, kind=kind) for name in names),
        stations=whole.stations if kind == "pair" else whole.stations[:1],
        ripples=(),
        profiles=tuple(section(i, kind=kind, photos=photos) for i in range(count)),
        quantities=tuple(heights),
        not_measured=(),
        checks=tuple(limits),
    )


@pytest.fixture(name="make_sections")
def _make_sections():
    return section_result


@pytest.fixture(name="make_photo")
def _make_photo():
    return plain_photo


@pytest.fixture(name="make_result")
def _make_result():
    return measured_result


@pytest.fixture(name="make_unscaled")
def _make_unscaled():
    return unscaled_result


@pytest.fixture(name="make_refusal")
def _make_refusal():
    return refused_result
