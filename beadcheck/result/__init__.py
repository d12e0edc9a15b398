"""The result, as it is written to a file and shown."""

from beadcheck.result.convert import (
    advice_records,
    check_records,
    coupon_record,
    not_measured_records,
    quantity_records,
)
from beadcheck.result.indication import IndicationRecord
from beadcheck.result.records import (
    CAUTION,
    FORMAT,
    AdviceRecord,
    CheckRecord,
    ComponentRecord,
    CouponRecord,
    NotMeasuredRecord,
    PhotoRecord,
    ProblemRecord,
    QuantityRecord,
    Result,
    RippleRecord,
    StationRecord,
)
from beadcheck.result.writing import result_from_json, result_schema, result_to_json

__all__ = [
    "CAUTION",
    "FORMAT",
    "AdviceRecord",
    "CheckRecord",
    "ComponentRecord",
    "CouponRecord",
    "IndicationRecord",
    "NotMeasuredRecord",
    "PhotoRecord",
    "ProblemRecord",
    "QuantityRecord",
    "Result",
    "RippleRecord",
    "StationRecord",
    "advice_records",
    "check_records",
    "coupon_record",
    "not_measured_records",
    "quantity_records",
    "result_from_json",
    "result_schema",
    "result_to_json",
]
