"""The coupon: its shape, its size, and how the pass was welded."""

from beadcheck.coupon.groove import DepthBy, Groove, GrooveForm, PassDepth
from beadcheck.coupon.pulse_times import (
    PanelTimes,
    PulseTimes,
    RippleLine,
    TimesAre,
    TorchMotion,
    Weave,
)
from beadcheck.coupon.run_name import run_name
from beadcheck.coupon.shape import (
    IN_THE_GROOVE,
    MOST_LAYERS,
    Coupon,
    Polarity,
    Position,
    Process,
    Progression,
    Shape,
    StripSide,
    WeldPass,
)

__all__ = [
    "IN_THE_GROOVE",
    "MOST_LAYERS",
    "Coupon",
    "DepthBy",
    "Groove",
    "GrooveForm",
    "PanelTimes",
    "PassDepth",
    "Polarity",
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
    "run_name",
]
