"""A phone of no maker, calibrated: tests change of it what they are about."""

from datetime import date
from typing import Final

from beadcheck.camera import CalibratedCamera, Camera

PHONE: Final = CalibratedCamera(
    name="bench",
    make="Quay",
    model="Nine",
    focal_35mm_mm=26.0,
    width_px=4032,
    height_px=3024,
    calibrated_on=date(2026, 5, 17),
    photo_count=8,
    residual_px=0.07,
    camera=Camera(
        focal_px=3100.0,
        centre_px=(2040.0, 1500.0),
        k1=0.03,
        k2=-0.04,
        u_focal_px=9.0,
        u_centre_px=3.0,
        u_k1=0.004,
        u_k2=0.012,
    ),
)
