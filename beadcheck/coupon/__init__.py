"""The coupon: its shape, its size, and how the pass was welded."""

from beadcheck.coupon.pulse_times import (
    PanelTimes,
    PulseTimes,
    RippleLine,
    TimesAre,
    TorchMotion,
    Weave,
)
from beadcheck.coupon.shape import (
    Coupon,
    Position,
    Process,
    Progression,
    Shape,
    StripSide,
    WeldPass,
)

__all__ = [
    "Coupon",
    "PanelTimes",
    "Position",
    "Process",
    "Progression",
    "PulseTimes",
    "RippleLine",
    "Shape",
    "StripSide",
    "TimesAre",
    "TorchMotion",
    "Weave",
    "WeldPass",
]
