"""The result, as it is written to a file and shown."""

from beadcheck.result.convert import (
    advice_of,
    advice_records,
    check_records,
    coupon_record,
    not_measured_of,
    not_measured_records,
    quantity_of,
    quantity_records,
)
from beadcheck.result.coupon import CouponRecord
from beadcheck.result.fit_up import OpeningRecord, TackRecord
from beadcheck.result.frame import TargetFrameRecord, TargetPartRecord
from beadcheck.result.indication import IndicationRecord
from beadcheck.result.layer import (
    BeadWidthRecord,
    LayerRecord,
    LayerStationRecord,
    SectorBeadsRecord,
    WholeLayerRecord,
    WholeLayerStationRecord,
)
from beadcheck.result.photo import PassDepthRecord, PhotoRecord, ProblemRecord
from beadcheck.result.profile import BaseLineRecord, ProfileRecord, ReadingRecord
from beadcheck.result.records import (
    CAUTION,
    FORMAT,
    AdviceRecord,
    CheckRecord,
    ComponentRecord,
    NotMeasuredRecord,
    QuantityRecord,
    Result,
    RippleRecord,
    StationRecord,
)
from beadcheck.result.settings import SettingsRecord, StatedRecord, settings_record
from beadcheck.result.whole_numbers import (
    BeyondLimitRecord,
    HalfValueRecord,
    SectorRecord,
    SectorValueRecord,
    StartStopRecord,
)
from beadcheck.result.whole_weld import (
    ClosureRecord,
    GapRecord,
    GluedJointRecord,
    LeftOutRecord,
    PlacedPhotoRecord,
    WholeCrestRecord,
    WholeStationRecord,
    WholeWeldRecord,
)
from beadcheck.result.whose import Whose, concerns
from beadcheck.result.writing import result_from_json, result_schema, result_to_json

__all__ = [
    "CAUTION",
    "FORMAT",
    "AdviceRecord",
    "BaseLineRecord",
    "BeadWidthRecord",
    "BeyondLimitRecord",
    "CheckRecord",
    "ClosureRecord",
    "ComponentRecord",
    "CouponRecord",
    "GapRecord",
    "GluedJointRecord",
    "HalfValueRecord",
    "IndicationRecord",
    "LayerRecord",
    "LayerStationRecord",
    "LeftOutRecord",
    "NotMeasuredRecord",
    "OpeningRecord",
    "PassDepthRecord",
    "PhotoRecord",
    "PlacedPhotoRecord",
    "ProblemRecord",
    "ProfileRecord",
    "QuantityRecord",
    "ReadingRecord",
    "Result",
    "RippleRecord",
    "SectorBeadsRecord",
    "SectorRecord",
    "SectorValueRecord",
    "SettingsRecord",
    "StartStopRecord",
    "StatedRecord",
    "StationRecord",
    "TackRecord",
    "TargetFrameRecord",
    "TargetPartRecord",
    "WholeCrestRecord",
    "WholeLayerRecord",
    "WholeLayerStationRecord",
    "WholeStationRecord",
    "WholeWeldRecord",
    "Whose",
    "advice_of",
    "advice_records",
    "check_records",
    "concerns",
    "coupon_record",
    "not_measured_of",
    "not_measured_records",
    "quantity_of",
    "quantity_records",
    "result_from_json",
    "result_schema",
    "result_to_json",
    "settings_record",
]
