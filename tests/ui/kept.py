"""A log that is filled already, without a photo measured for it."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

from PIL import Image

from beadcheck.coupon import WeldPass
from beadcheck.log import Entry, log_address, open_log, save
from beadcheck.quantity import Statistic
from beadcheck.result import CheckRecord, CouponRecord, PhotoRecord, QuantityRecord, Result

BEGAN: Final = datetime(2026, 3, 2, 9, 30, tzinfo=UTC)


def width_result(
    statistic: Statistic, value_mm: float, expanded_mm: float, *checks: CheckRecord
) -> Result:
    """Return a result of one photo that says one thing about the weld's width."""
    return Result(
        coupon=CouponRecord(
            shape="plate",
            outside_diameter_mm=None,
            wall_thickness_mm=None,
            weld_pass=WeldPass.CAP.value,
        ),
        photos=(
            PhotoRecord(
                file="cap.jpg",
                kind="face",
                usable=True,
                px_per_mm=20.0,
                tilt_deg=7.0,
                distance_mm=210.0,
                problems=(),
            ),
        ),
        quantities=(
            QuantityRecord(
                name="weld_width",
                statistic=statistic.value,
                value=value_mm,
                unit="mm",
                expanded_uncertainty=expanded_mm,
                coverage_factor=2.0,
                count=55,
                scope="photo",
                photo=0,
                side=None,
                s_range_mm=(4.0, 60.0),
            ),
        ),
        checks=checks,
        limits="Shop rule" if checks else None,
    )


def fill_log(path: Path, welds: Sequence[tuple[str, int, Result]]) -> Path:
    """Keep welds of persons, each so many days after the first, coupon P1 on the first day."""
    photo = path.with_name("cap.jpg")
    Image.new("RGB", (900, 600), (120, 126, 131)).save(photo)
    with open_log(log_address({}, str(path))) as log:
        for person, day, result in welds:
            entry = Entry(
                result=result,
                photos=(photo,),
                person=person,
                coupon=f"P{day + 1}",
                run="cap",
                measured_at=BEGAN + timedelta(days=day),
            )
            save(log, entry)
    return path
