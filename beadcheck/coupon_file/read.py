"""Coupon files, format ``beadcheck-coupon/1``: reading.

Paths start at the folder of the file. Photos lie in it or below it::

    format = "beadcheck-coupon/1"
    coupon = "P8-17"
    person = "Pike"
    pipe_size = "NPS 8 SCH 60"
    position = "5G"

    [[pass]]
    pass = "cap"
    process = "smaw"
    current_a = 95

    [[pass.photo]]
    file = "cap.jpg"
"""

import re
from pathlib import Path
from typing import Final

from beadcheck.coupon import Groove, GrooveForm, Position, Progression, Shape, StripSide
from beadcheck.coupon.pipe_sizes import parse_pipe_size
from beadcheck.coupon_file.cells import made_of, named_file, span
from beadcheck.coupon_file.parts import CouponFile, JointPart, PassPart
from beadcheck.coupon_file.read_pass import PhotoTables, pass_part
from beadcheck.errors.coupon_file import CardForCouponError, PassTwiceError, PhotoOfTwoError
from beadcheck.limits import DecisionRule, LengthSystem, limit_sets
from beadcheck.limits.cells import number, refuse_unknown, text, word, yes
from beadcheck.target.toml_table import TomlTable, read_toml

FORMAT: Final = "beadcheck-coupon/1"
CARD_FORMAT: Final = "beadcheck-procedure/1"
JOINT_KEYS: Final = (
    "shape",
    "pipe_size",
    "outside_diameter_mm",
    "wall_mm",
    "bore_mm",
    "position",
    "progression",
    "strip_side",
    "groove_width_mm",
    "groove",
)
GUARDS: Final = {"full": DecisionRule.FULL, "95": DecisionRule.NINETY_FIVE}
_KEYS: Final = (
    "format",
    "coupon",
    "person",
    "procedure",
    *JOINT_KEYS,
    "limits",
    "guard",
    "units",
    "target",
    "print_scale_mm",
    "no_camera",
    "sectors",
    "pass",
)
_PHOTO_HEADER: Final = re.compile(r"^\s*\[\[pass\.photo\]\]", re.MULTILINE)
_GROOVE_KEYS: Final = (
    "form",
    "angle_deg",
    "root_gap_mm",
    "root_face_mm",
    "root_gap_range_mm",
)


def read_coupon_file(path: Path) -> CouponFile:
    """Coupon of a file, as it says it; what its procedure card adds is not in it.

    Raises
    ------
    InputFileError
        The file is broken, or a file that it names is not there: the message names file, line, key
        and mend.
    """
    return _coupon_file(path, path.parent)


def read_coupon_alone(path: Path) -> CouponFile:
    """Coupon of a file that came without those that it names: their paths are as it says them.

    Raises
    ------
    InputFileError
        The file is broken: the message names file, line, key and mend.
    """
    return _coupon_file(path, None)


def _coupon_file(path: Path, folder: Path | None) -> CouponFile:
    file, values = read_toml(path)
    top = TomlTable(file=file, values=values)
    written = top.text("format", f'format = "{FORMAT}"')
    if written == CARD_FORMAT:
        raise CardForCouponError(path.name)
    if written != FORMAT:
        raise top.refusal("format", f'"{FORMAT}"')
    refuse_unknown(top, _KEYS)
    return CouponFile(
        name=top.text("coupon", 'coupon = "P8-17"'),
        person=text(top, "person") or None,
        procedure=named_file(top, "procedure", folder),
        joint=joint_part(top),
        limits=limits_named(top, folder),
        guard=guard(top),
        units=units(top),
        target=named_file(top, "target", folder),
        print_scale_mm=number(top, "print_scale_mm", 1.0, 1000.0),
        use_camera=not yes(top, "no_camera"),
        sectors=top.whole_number("sectors", 2, 72, example="sectors = 12")
        if "sectors" in values
        else None,
        passes=_passes(top, folder),
    )


def joint_part(top: TomlTable) -> JointPart:
    """Shape, size, groove and position, of a coupon file or a procedure card.

    Raises
    ------
    InputFileError
    """
    there = top.values
    pipe_size = text(top, "pipe_size") or None
    if pipe_size is not None:
        with made_of(top, "pipe_size"):
            parse_pipe_size(pipe_size)
    with made_of(top):
        return JointPart(
            shape=word(top, "shape", Shape) if "shape" in there else None,
            pipe_size=pipe_size,
            outside_diameter_mm=number(top, "outside_diameter_mm", 10.0, 2500.0),
            wall_mm=number(top, "wall_mm", 0.1, 200.0),
            bore_mm=number(top, "bore_mm", 5.0, 2500.0),
            position=word(top, "position", Position) if "position" in there else None,
            progression=word(top, "progression", Progression) if "progression" in there else None,
            strip_side=word(top, "strip_side", StripSide) if "strip_side" in there else None,
            groove_width_mm=number(top, "groove_width_mm", 0.1, 200.0),
            groove=_groove(top),
        )


def limits_named(top: TomlTable, folder: Path | None) -> str | None:
    """Limit set: a shipped one's name, or the path of a file that is there.

    Raises
    ------
    InputFileError
    """
    name = text(top, "limits")
    if not name or name in limit_sets():
        return name or None
    if not name.lower().endswith(".toml"):
        raise top.refusal("limits", "a limit set that beadcheck limits lists, or a TOML file")
    return named_file(top, "limits", folder)


def guard(top: TomlTable) -> DecisionRule | None:
    """Guard band; None where the key is not there.

    Raises
    ------
    InputFileError
    """
    if "guard" not in top.values:
        return None
    written = top.values["guard"]
    if not isinstance(written, str) or written not in GUARDS:
        raise top.refusal("guard", '"full" or "95"')
    return GUARDS[written]


def units(top: TomlTable) -> LengthSystem | None:
    """Units that people read; None where the key is not there.

    Raises
    ------
    InputFileError
    """
    return word(top, "units", LengthSystem) if "units" in top.values else None


def _groove(top: TomlTable) -> Groove | None:
    if "groove" not in top.values:
        return None
    values = top.values["groove"]
    if not isinstance(values, dict):
        raise top.refusal("groove", "written as a table that begins with [groove]")
    table = TomlTable(file=top.file, values=values, header="groove", label="groove")
    refuse_unknown(table, _GROOVE_KEYS)
    return Groove(
        form=word(table, "form", GrooveForm),
        angle_deg=number(table, "angle_deg", 0.0, 180.0),
        root_gap_mm=number(table, "root_gap_mm", 0.0, 50.0),
        root_face_mm=number(table, "root_face_mm", 0.0, 50.0),
        root_gap_range_mm=span(table, "root_gap_range_mm", "root_gap_range_mm = [2.4, 4.0]"),
    )


def pass_tables(top: TomlTable) -> tuple[TomlTable, ...]:
    """Every table ``[[pass]]``, each with its number as label.

    Raises
    ------
    InputFileError
    """
    return tuple(
        TomlTable(file=top.file, values=each.values, header="pass", index=k, label=f"pass {k + 1}")
        for k, each in enumerate(top.tables("pass", "[[pass]]"))
    )


def _passes(top: TomlTable, folder: Path | None) -> tuple[PassPart, ...]:
    tables = pass_tables(top)
    counts = [len(each.values.get("photo", ())) for each in tables if _has_list(each)]
    # Photos that are written in braces have no header that would tell their line.
    by_header = len(_PHOTO_HEADER.findall(top.file.text)) == sum(counts)
    passes: list[PassPart] = []
    seen: set[str] = set()
    before = 0
    for table in tables:
        photos = PhotoTables(file=top.file, before=before, by_header=by_header)
        part = pass_part(table, photos, folder)
        if part.name in {each.name for each in passes}:
            raise PassTwiceError(table.place("name"), part.name)
        for each, place in zip(part.photos, photos.of(table), strict=True):
            for path in each.files:
                if path in seen:
                    key = "file" if "file" in place.values else "files"
                    raise PhotoOfTwoError(place.place(key), path)
                seen.add(path)
        before += len(part.photos)
        passes.append(part)
    return tuple(passes)


def _has_list(table: TomlTable) -> bool:
    return isinstance(table.values.get("photo"), list)
