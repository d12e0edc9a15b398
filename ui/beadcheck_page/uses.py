"""What each photo is for, as a person says it: how it was taken, and what makes heights of it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, Final

from beadcheck.photo import PhotoKind
from beadcheck.profiles.light_line.reference import KnownStep, LightAngle
from beadcheck.report.wording import LengthUnit
from beadcheck.units import millimetres
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.photo_refusals import UnusableUseError
from beadcheck_page.refusals import MissingEntryError

LONGEST_KEY: Final = 40
FULL_TURN_DEG: Final = 360.0
U_ANGLES_DEG: Final = (1.0, 2.0, 5.0)
"""Expanded uncertainties of the light's angle that the page offers: jig, protractor, by eye."""


class Reference(StrEnum):
    """What tells the height in a photo with a line of light."""

    STEP = "step"
    ANGLE = "angle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """How one photo was taken, and what was entered about it.

    Attributes
    ----------
    joined_to
        Key of the face photo whose second view it is; None where that was not said.
    reference
        What counts for a line of light: the step or the angle; both may have been entered.
    step_mm, angle_deg
        What was entered; None where nothing was.
    u_angle_deg
        Expanded uncertainty (k = 2) of the angle.
    step_at
        Where the step's top lies, as shares of the picture's width and height.
    clock_deg
        Clock position that a photo without a strip shows, in degrees from 12 o'clock.
    """

    kind: PhotoKind = PhotoKind.FACE
    joined_to: str | None = None
    reference: Reference = Reference.STEP
    step_mm: float | None = None
    angle_deg: float | None = None
    u_angle_deg: float = U_ANGLES_DEG[1]
    step_at: tuple[float, float] | None = None
    clock_deg: float | None = None


FACE: Final = Use()


def changed_use(use: Use, told: object) -> Use:
    """Use with what the browser told, which may be a part of it; nothing is believed unseen.

    Raises
    ------
    BeadcheckError
        It makes no sense, or cannot serve.

    Examples
    --------
    >>> changed_use(FACE, {"kind": "light-line", "step": "0.25", "unit": "inch"}).step_mm
    6.35
    """
    if not isinstance(told, Mapping):
        raise UnusableUseError("What was said about the photo")
    changes: dict[str, Any] = {}
    for name, reader in _READERS.items():
        if name in told:
            changes |= reader(told)
    return replace(use, **changes)


def light_reference(use: Use, photo: StoredPhoto) -> KnownStep | LightAngle:
    """What tells the height in a photo with a line of light.

    Raises
    ------
    BeadcheckError
        It was not entered, or cannot serve.
    """
    step, angle = entered_reference(use)
    if step is not None:
        return step
    if angle is not None:
        return angle
    if use.reference is Reference.ANGLE:
        raise MissingEntryError(
            f"The angle of the light in {photo.name}",
            "Enter it under the photo, or the thickness of a step that the line crosses.",
        )
    raise MissingEntryError(
        f"The thickness of the step in {photo.name}",
        "Enter it under the photo, or the angle of the light.",
    )


def entered_reference(use: Use) -> tuple[KnownStep | None, LightAngle | None]:
    """Return the step or the angle, whichever counts; neither where it was not entered."""
    if use.reference is Reference.STEP:
        return known_step(use), None
    if use.angle_deg is None:
        return None, None
    return None, LightAngle(angle_deg=use.angle_deg, u_angle_deg=0.5 * use.u_angle_deg)


def known_step(use: Use) -> KnownStep | None:
    """Return the step that was entered, without its place; None where there is none.

    Raises
    ------
    BeadcheckError
        It cannot serve as a step.
    """
    return None if use.step_mm is None else KnownStep(thickness_mm=use.step_mm)


def step_place_px(use: Use, photo: StoredPhoto) -> tuple[float, float] | None:
    """Return where the step was tapped, in pixels of the upright photo."""
    if use.step_at is None:
        return None
    x, y = use.step_at
    return x * photo.width_px - 0.5, y * photo.height_px - 0.5


def _kind(told: Mapping[str, Any]) -> dict[str, Any]:
    return {"kind": _one_of(PhotoKind, told["kind"], "The kind of the photo")}


def _reference(told: Mapping[str, Any]) -> dict[str, Any]:
    return {"reference": _one_of(Reference, told["reference"], "What tells the height")}


def _joined_to(told: Mapping[str, Any]) -> dict[str, Any]:
    key = told["with"]
    if not isinstance(key, str) or len(key) > LONGEST_KEY:
        raise UnusableUseError("The photo that it belongs to")
    return {"joined_to": key or None}


def _step(told: Mapping[str, Any]) -> dict[str, Any]:
    thickness = _number(told["step"], "The thickness of the step")
    if thickness is not None and told.get("unit") == LengthUnit.INCH.value:
        thickness = millimetres(thickness)
    if thickness is not None:
        KnownStep(thickness_mm=thickness)  # refuses what cannot serve while it is being entered
    return {"step_mm": thickness}


def _angle(told: Mapping[str, Any]) -> dict[str, Any]:
    angle_deg = _number(told["angle"], "The angle of the light")
    if angle_deg is not None:
        LightAngle(angle_deg=angle_deg, u_angle_deg=0.5 * U_ANGLES_DEG[-1])
    return {"angle_deg": angle_deg}


def _u_angle(told: Mapping[str, Any]) -> dict[str, Any]:
    expanded_deg = _number(told["sure"], "How sure the angle is")
    if expanded_deg not in U_ANGLES_DEG:
        raise UnusableUseError("How sure the angle is")
    return {"u_angle_deg": expanded_deg}


def _step_at(told: Mapping[str, Any]) -> dict[str, Any]:
    place = told["place"]
    if place is None:
        return {"step_at": None}
    try:
        x, y = (float(share) for share in place)
    except (TypeError, ValueError):
        raise UnusableUseError("The place of the step") from None
    if not (0.0 <= x <= 1.0 and 0.0 <= y <= 1.0):
        raise UnusableUseError("The place of the step")
    return {"step_at": (x, y)}


def _clock(told: Mapping[str, Any]) -> dict[str, Any]:
    what = "The clock position"
    if told["clock"] in (None, ""):
        return {"clock_deg": None}
    clock_deg = 0.0 if told["clock"] in ("0", 0) else _number(told["clock"], what)
    if clock_deg is None or clock_deg > FULL_TURN_DEG:
        raise UnusableUseError(what)
    return {"clock_deg": clock_deg % FULL_TURN_DEG}


_READERS: Final = {
    "kind": _kind,
    "with": _joined_to,
    "reference": _reference,
    "step": _step,
    "angle": _angle,
    "sure": _u_angle,
    "place": _step_at,
    "clock": _clock,
}
"""What a browser may tell, by its key."""


def _one_of(kind: type[StrEnum], told: object, what: str) -> StrEnum:
    try:
        return kind(told)  # type: ignore[arg-type]  # any value is tried
    except ValueError:
        raise UnusableUseError(what) from None


def _number(told: object, what: str) -> float | None:
    """Number above 0 from a field's text; None from an empty one."""
    if told is None or told == "":
        return None
    try:
        if isinstance(told, bool):
            raise TypeError
        number = float(told)  # type: ignore[arg-type]  # any value is tried
    except (TypeError, ValueError):
        number = math.nan
    if not (math.isfinite(number) and number > 0.0):
        raise UnusableUseError(what)
    return number
