"""The coupon: its shape, its size, and how the pass was welded."""

from beadcheck.coupon.shape import (
    Coupon,
    Position,
    Process,
    Progression,
    PulseCycle,
    Shape,
    WeldPass,
)

__all__ = ["Coupon", "Position", "Process", "Progression", "PulseCycle", "Shape", "WeldPass"]
