"""Coupon files, format ``beadcheck-coupon/1``: writing."""

from dataclasses import fields
from enum import StrEnum
from pathlib import Path
from typing import TypeAlias

import tomlkit
from tomlkit.items import AoT, Table

from beadcheck.coupon import Groove, Weave
from beadcheck.coupon_file.parts import CouponFile, JointPart, PassPart, PhotoPart
from beadcheck.coupon_file.read import FORMAT, GUARDS
from beadcheck.coupon_file.said import NumberSaid, PassSettings
from beadcheck.whole_file import write_whole

_Plain: TypeAlias = str | float | bool | list["_Plain"] | None


def coupon_toml(coupon: CouponFile) -> str:
    """Text of a coupon file; `read_coupon_file` gives the same coupon back."""
    guards = {rule: word for word, rule in GUARDS.items()}
    document = tomlkit.document()
    top: dict[str, _Plain] = {
        "format": FORMAT,
        "coupon": coupon.name,
        "person": coupon.person,
        "procedure": coupon.procedure,
        **_joint(coupon.joint),
        "limits": coupon.limits,
        "guard": None if coupon.guard is None else guards[coupon.guard],
        "units": _plain(coupon.units),
        "target": coupon.target,
        "print_scale_mm": coupon.print_scale_mm,
        "no_camera": None if coupon.use_camera else True,
        "sectors": coupon.sectors,
    }
    for key, value in top.items():
        if value is not None:
            document.add(key, tomlkit.item(value))
    if coupon.joint.groove is not None:
        document.add("groove", _table(_of_fields(coupon.joint.groove)))
    passes = tomlkit.aot()
    for part in coupon.passes:
        passes.append(_pass(part))
    if coupon.passes:
        document.add("pass", passes)
    return tomlkit.dumps(document)


def write_coupon_file(coupon: CouponFile, path: Path) -> None:
    """Write a coupon file, whole or not at all; one of the same name is replaced.

    Raises
    ------
    FileNotWritableError
    """
    write_whole(path, [coupon_toml(coupon).encode()])


def _joint(joint: JointPart) -> dict[str, _Plain]:
    return {key: value for key, value in _of_fields(joint).items() if key != "groove"}


def _pass(part: PassPart) -> Table:
    said: dict[str, _Plain] = {
        "name": part.name,
        "pass": _plain(part.weld_pass),
        "layer": part.layer,
        "bead": part.bead,
        "beads": part.beads,
        "process": _plain(part.process),
        "polarity": _plain(part.polarity),
        "filler": part.filler,
        "depth_mm": _plain(part.depth),
        "signed": part.signed,
        **_settings(part.settings),
    }
    table = _table(said)
    if part.photos:
        photos: AoT = tomlkit.aot()
        for photo in part.photos:
            photos.append(_table(_photo(photo)))
        table.add("photo", photos)
    return table


def _settings(settings: PassSettings) -> dict[str, _Plain]:
    said = _of_fields(settings)
    allowed = settings.current_range
    del said["current_range"]
    if settings.weave is Weave.NONE:
        del said["weave"]
    if allowed is not None:
        said["current_range_a"] = [allowed.lowest_a, allowed.highest_a]
        said["current_range_by"] = allowed.stated_by.value
    return said


def _photo(photo: PhotoPart) -> dict[str, _Plain]:
    one = photo.files[0] if len(photo.files) == 1 else None
    along = photo.along_px
    return {
        "file": one,
        "files": None if one else list(photo.files),
        "kind": photo.kind.value,
        "step_mm": _plain(photo.step),
        "step_at_px": _plain(photo.step_at_px),
        "light_angle_deg": _plain(photo.light_angle),
        "along_px": None if along is None else [list(point) for point in along],
        "toes": photo.toes,
        "no_target": photo.without_target or None,
        "clock_deg": photo.clock_deg,
    }


def _of_fields(part: Groove | JointPart | PassSettings) -> dict[str, _Plain]:
    """What a part says, by the names of its fields, which are the keys of the file."""
    return {each.name: _plain(getattr(part, each.name)) for each in fields(part)}


def _plain(value: object) -> _Plain:
    plain: _Plain = None
    match value:
        case NumberSaid(value=number, expanded_uncertainty=None):
            plain = float(number)
        case NumberSaid(value=number, expanded_uncertainty=float(expanded)):
            plain = [float(number), expanded]
        case StrEnum():
            plain = value.value
        case tuple():
            plain = [_plain(each) for each in value]
        case str() | float():
            plain = value
        case int():
            plain = float(value)
    return plain


def _table(said: dict[str, _Plain]) -> Table:
    table = tomlkit.table()
    for key, value in said.items():
        if value is not None:
            table.add(key, tomlkit.item(value))
    return table
