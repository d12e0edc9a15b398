"""Headings under which a long help lists its options."""

from typing import Final

PHOTOS: Final = "Photos"
SCALE: Final = "Target and scale"
COUPON: Final = "Coupon and pass"
ARC: Final = "Current and power, as set"
PULSES: Final = "Pulses"
RUN: Final = "Travel, by rule and watch"
LIMITS: Final = "Limits"
OUTPUT: Final = "Output"
LOG: Final = "Log"
MANY: Final = "Many photos, each a weld of its own"
