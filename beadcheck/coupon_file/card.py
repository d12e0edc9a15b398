"""Procedure cards, format ``beadcheck-procedure/1``: what a class's procedure asks for.

A card is written like a coupon file, without person and photos; its passes name what is allowed::

    format = "beadcheck-procedure/1"
    title = "Stick on 8 inch pipe"
    signer = "instructor"
    pipe_size = "NPS 8 SCH 60"
    limits = "pipe-coupon"

    [[pass]]
    pass = "root"
    process = "gtaw"
    current_range_a = [90, 130]
    volts_range = [9, 13]
    travel_range_mm_per_min = [50, 120]
    hold_point = "root looked at from inside before the second pass"
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from beadcheck.advice import CurrentRange
from beadcheck.coupon import Polarity, Process, WeldPass
from beadcheck.coupon_file.cells import made_of, named_file, span
from beadcheck.coupon_file.parts import JointPart
from beadcheck.coupon_file.read import (
    CARD_FORMAT,
    JOINT_KEYS,
    guard,
    joint_part,
    limits_named,
    pass_tables,
    units,
)
from beadcheck.coupon_file.read_pass import current_range
from beadcheck.errors.coupon_file import PassTwiceError
from beadcheck.limits import DecisionRule, LengthSystem
from beadcheck.limits.cells import refuse_unknown, text, word
from beadcheck.target.toml_table import TomlTable, read_toml

_KEYS: Final = (
    "format",
    "title",
    "signer",
    *JOINT_KEYS,
    "limits",
    "guard",
    "units",
    "target",
    "pass",
)
_PASS_KEYS: Final = (
    "name",
    "pass",
    "process",
    "polarity",
    "filler",
    "current_range_a",
    "current_range_by",
    "volts_range",
    "travel_range_mm_per_min",
    "hold_point",
    "signer",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PassAsked:
    """What the procedure asks of one pass; what it leaves open is None.

    Attributes
    ----------
    hold_point
        What must be seen before work goes on.
    signer
        Who signs for it.
    """

    name: str
    weld_pass: WeldPass | None = None
    process: Process | None = None
    polarity: Polarity | None = None
    filler: str | None = None
    current_range: CurrentRange | None = None
    volts_range: tuple[float, float] | None = None
    travel_range_mm_per_min: tuple[float, float] | None = None
    hold_point: str | None = None
    signer: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProcedureCard:
    """What a class's procedure asks for; `target` is an absolute path or None."""

    file: str
    title: str
    joint: JointPart
    limits: str | None
    guard: DecisionRule | None
    units: LengthSystem | None
    target: str | None
    passes: tuple[PassAsked, ...]


def read_procedure(path: Path) -> ProcedureCard:
    """Procedure card of a file; paths in it start at its own folder, and come out absolute.

    Raises
    ------
    InputFileError
        The file is broken: the message names file, line, key and mend.
    """
    return _card(path, path.parent)


def read_procedure_alone(path: Path) -> ProcedureCard:
    """Procedure card that came without the files that it names: their paths are as it says them.

    Raises
    ------
    InputFileError
        The file is broken: the message names file, line, key and mend.
    """
    return _card(path, None)


def _card(path: Path, folder: Path | None) -> ProcedureCard:
    file, values = read_toml(path)
    top = TomlTable(file=file, values=values)
    if top.text("format", f'format = "{CARD_FORMAT}"') != CARD_FORMAT:
        raise top.refusal("format", f'"{CARD_FORMAT}"')
    refuse_unknown(top, _KEYS)
    limits = limits_named(top, folder)
    target = named_file(top, "target", folder)
    signer = text(top, "signer") or None
    return ProcedureCard(
        file=path.name,
        title=top.text("title", 'title = "Stick on 8 inch pipe"'),
        joint=joint_part(top),
        limits=_absolute(limits, folder) if limits and limits.endswith(".toml") else limits,
        guard=guard(top),
        units=units(top),
        target=None if target is None else _absolute(target, folder),
        passes=_passes(top, signer),
    )


def _absolute(path: str, folder: Path | None) -> str:
    return path if folder is None else str((folder / path).resolve())


def _passes(top: TomlTable, signer: str | None) -> tuple[PassAsked, ...]:
    asked: list[PassAsked] = []
    for table in pass_tables(top) if "pass" in top.values else ():
        each = _asked(table, signer)
        if each.name in {other.name for other in asked}:
            raise PassTwiceError(table.place("name"), each.name)
        asked.append(each)
    return tuple(asked)


def _asked(table: TomlTable, signer: str | None) -> PassAsked:
    refuse_unknown(table, _PASS_KEYS)
    weld_pass = word(table, "pass", WeldPass) if "pass" in table.values else None
    name = text(table, "name") or (weld_pass.value if weld_pass else "")
    with made_of(table):
        return PassAsked(
            name=name or table.text("pass", 'pass = "cap"'),
            weld_pass=weld_pass,
            process=word(table, "process", Process) if "process" in table.values else None,
            polarity=word(table, "polarity", Polarity) if "polarity" in table.values else None,
            filler=text(table, "filler") or None,
            current_range=current_range(table),
            volts_range=span(table, "volts_range", "volts_range = [20, 26]"),
            travel_range_mm_per_min=span(
                table, "travel_range_mm_per_min", "travel_range_mm_per_min = [80, 160]"
            ),
            hold_point=text(table, "hold_point") or None,
            signer=text(table, "signer") or signer,
        )
