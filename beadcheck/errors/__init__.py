"""Refusals: one class per situation, each with what is wrong and what to do."""

from beadcheck.errors.base import (
    BeadcheckError,
    BeadError,
    InputFileError,
    PhotoError,
    SettingError,
    SurfaceError,
    TargetError,
)

__all__ = [
    "BeadError",
    "BeadcheckError",
    "InputFileError",
    "PhotoError",
    "SettingError",
    "SurfaceError",
    "TargetError",
]
