"""The result, as it is written to a file and shown."""

from beadcheck.result.records import (
    CAUTION,
    AdviceRecord,
    CheckRecord,
    CouponRecord,
    NotMeasuredRecord,
    PhotoRecord,
    ProblemRecord,
    QuantityRecord,
    Result,
    RippleRecord,
    StationRecord,
)

__all__ = [
    "CAUTION",
    "AdviceRecord",
    "CheckRecord",
    "CouponRecord",
    "NotMeasuredRecord",
    "PhotoRecord",
    "ProblemRecord",
    "QuantityRecord",
    "Result",
    "RippleRecord",
    "StationRecord",
]
