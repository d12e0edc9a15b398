"""Refusals: one class per situation, each with what is wrong and what to do."""

from beadcheck.errors.base import (
    BeadcheckError,
    BeadError,
    CameraError,
    InputFileError,
    LogError,
    PhotoError,
    ProfileError,
    SettingError,
    SurfaceError,
    TargetError,
)

__all__ = [
    "BeadError",
    "BeadcheckError",
    "CameraError",
    "InputFileError",
    "LogError",
    "PhotoError",
    "ProfileError",
    "SettingError",
    "SurfaceError",
    "TargetError",
]
