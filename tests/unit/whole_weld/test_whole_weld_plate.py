"""Photos along a plate's weld are joined where they show one lie of the card."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon
from beadcheck.pipeline import join
from beadcheck.result import (
    PhotoRecord,
    Result,
    RippleRecord,
    StationRecord,
    TargetFrameRecord,
    TargetPartRecord,
    coupon_record,
)

PLATE = Coupon()
ANGLE = np.radians(7.0)
ALONG = np.array([np.cos(ANGLE), np.sin(ANGLE)])
ACROSS = np.array([-ALONG[1], ALONG[0]])
WELD = np.random.default_rng(8)
WAVES = WELD.normal(size=(3, 9)) * 0.12
CREST_MM = np.cumsum(WELD.uniform(1.6, 2.6, size=120)) - 20.0


def toe_mm(row, s_mm):
    """A toe that wanders as a hand does, by its own waves."""
    waves = sum(
        amount * np.sin(s_mm / (3.0 + 2.1 * k) + 1.7 * k + row)
        for k, amount in enumerate(WAVES[row])
    )
    return waves + (-4.6, 4.6)[row]


def photo(file, first_mm, last_mm, *, moved_mm=(0.0, 0.0), tilt_deg=5.0):
    """A photo of the weld from one place to another, the card moved by so much along and across."""
    noise = np.random.default_rng(len(file) + int(first_mm))
    s_mm = np.arange(first_mm, last_mm)
    origin = np.array([12.0, 40.0]) - moved_mm[0] * ALONG - moved_mm[1] * ACROSS
    toes = [
        origin
        + s_mm[:, None] * ALONG
        + (toe_mm(row, s_mm) + noise.normal(size=s_mm.size) * 0.05)[:, None] * ACROSS
        for row in (0, 1)
    ]
    crests = CREST_MM[(first_mm < CREST_MM) & (last_mm > CREST_MM)]
    return Result(
        coupon=coupon_record(PLATE),
        photos=(
            PhotoRecord(
                file=file,
                kind="face",
                usable=True,
                px_per_mm=11.0,
                tilt_deg=tilt_deg,
                distance_mm=210.0,
                problems=(),
                target="card",
                frame=TargetFrameRecord(
                    parts=(
                        TargetPartRecord(
                            segment=0, turn=0, starts_mm=0.0, shift_mm=0.0, shift_u_mm=0.0
                        ),
                    ),
                    print_ratio=1.0,
                    print_u_ratio=0.0014,
                    bar_measured=True,
                    clock_sense=1,
                    turn_mm=None,
                    strip_diameter_mm=None,
                    alone_diameter_mm=None,
                    alone_diameter_u_mm=None,
                ),
            ),
        ),
        stations=tuple(
            StationRecord(
                photo=0,
                s_mm=float(s),
                clock_deg=None,
                left_toe_px=(float(k), 1.0),
                right_toe_px=(float(k), 9.0),
                weld_width_mm=float(np.hypot(*(right - left))),
                weld_width_U_mm=0.2,
                sure=True,
                steady=True,
                left_toe_mm=tuple(left),
                right_toe_mm=tuple(right),
                seen_at_deg=75.0,
            )
            for k, (s, left, right) in enumerate(zip(s_mm, *toes, strict=True))
        ),
        ripples=tuple(
            RippleRecord(photo=0, s_mm=float(s), px=(0.0, 0.0), place_mm=tuple(origin + s * ALONG))
            for s in crests
        ),
    )


def test_overlapping_photos_of_one_lie_of_the_card_make_one_weld():
    whole = join(
        [photo("b.jpg", 45.0, 110.0), photo("a.jpg", 0.0, 70.0, tilt_deg=9.0)], coupon=PLATE
    ).whole_weld
    assert (whole.shape, whole.photos, whole.left_out) == ("plate", (0, 1), ())
    assert_allclose(whole.length_mm, 110.0, atol=1.5)
    assert_allclose(sum(sector.covered_ratio for sector in whole.sectors), len(whole.sectors))
    places = np.array([station.arc_mm for station in whole.stations]) - 0.5
    widths = [station.weld_width_mm for station in whole.stations]
    assert_allclose(widths, toe_mm(1, places) - toe_mm(0, places), atol=0.25)
    assert whole.closure is None
    assert all(station.clock_deg is None for station in whole.stations)
    inside = (CREST_MM > 0.0) & (CREST_MM < 109.0)
    assert abs(len(whole.crests) - np.count_nonzero(inside)) <= 1


@pytest.mark.parametrize("moved_mm", [(40.0, 0.1), (55.0, -0.2), (3.0, 1.5)])
def test_a_card_that_was_moved_is_told_and_not_guessed(moved_mm):
    joined = join(
        [
            photo("a.jpg", 0.0, 70.0),
            photo("b.jpg", 40.0, 110.0, tilt_deg=8.0),
            photo("c.jpg", 45.0, 115.0, moved_mm=moved_mm, tilt_deg=11.0),
        ],
        coupon=PLATE,
    )
    whole = joined.whole_weld
    assert whole.photos == (0, 1)
    (left_out,) = whole.left_out
    assert (left_out.photo, left_out.code) == (2, "not_connected")
    assert "a.jpg, b.jpg" in left_out.reason
    assert {problem.code for problem in joined.photos[2].problems} == {"not_connected"}


def test_photos_of_which_none_connect_stay_by_themselves():
    joined = join(
        [photo("a.jpg", 0.0, 60.0), photo("b.jpg", 80.0, 140.0, moved_mm=(80.0, 0.3))],
        coupon=PLATE,
    )
    assert joined.whole_weld is None
    assert [problem.code for problem in joined.photos[1].problems] == ["not_connected"]
