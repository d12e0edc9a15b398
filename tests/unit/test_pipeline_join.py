"""Results of single photos become one, and nothing is lost or mixed up."""

from dataclasses import replace

import pytest

from beadcheck.coupon import Coupon
from beadcheck.pipeline import join
from beadcheck.result import (
    AdviceRecord,
    NotMeasuredRecord,
    PhotoRecord,
    Result,
    RippleRecord,
    StationRecord,
    coupon_record,
)

PLATE = Coupon()


def result_of(file: str, s_mm: float) -> Result:
    return Result(
        coupon=coupon_record(PLATE),
        photos=(
            PhotoRecord(
                file=file,
                kind="face",
                usable=True,
                px_per_mm=9.7,
                tilt_deg=4.0,
                distance_mm=201.0,
                problems=(),
            ),
        ),
        stations=(
            StationRecord(
                photo=0,
                s_mm=s_mm,
                clock_deg=None,
                left_toe_px=(1.0, 2.0),
                right_toe_px=(1.0, 90.0),
                weld_width_mm=8.8,
                weld_width_U_mm=0.3,
                sure=True,
                steady=True,
            ),
        ),
        ripples=(RippleRecord(photo=0, s_mm=s_mm, px=(3.0, 4.0)),),
        not_measured=(NotMeasuredRecord(name="toe_angle", reason="r", how_to="h", photo=0),),
        advice=(AdviceRecord(symptom=file, change="Brace your wrist.", why="w"),),
    )


def test_every_record_points_at_its_own_photo() -> None:
    joined = join(
        [result_of("a.jpg", 1.0), result_of("b.jpg", 2.0), result_of("c.jpg", 3.0)], coupon=PLATE
    )
    assert [p.file for p in joined.photos] == ["a.jpg", "b.jpg", "c.jpg"]
    for records in (joined.stations, joined.ripples, joined.not_measured):
        assert [r.photo for r in records] == [0, 1, 2]
    assert [s.s_mm for s in joined.stations] == [1.0, 2.0, 3.0]


def test_advice_that_several_photos_give_is_said_once() -> None:
    joined = join([result_of("a.jpg", 1.0), result_of("b.jpg", 2.0)], coupon=PLATE)
    assert [a.symptom for a in joined.advice] == ["a.jpg"]


def test_one_photo_alone_is_its_own_result() -> None:
    alone = result_of("a.jpg", 1.0)
    assert join([alone], coupon=PLATE) == replace(alone)


def test_nothing_cannot_be_joined() -> None:
    with pytest.raises(ValueError, match="nothing to join"):
        join([], coupon=PLATE)
