"""Values of a ``[[limit]]`` in the unit of its quantity, and what none can be."""

from typing import Final

from beadcheck.errors.input_file import MissingKeyError
from beadcheck.limits.cells import HIGHEST_VALUE, key_of, length_mm
from beadcheck.limits.decision import Sense
from beadcheck.limits.limit import SIGNED, limit_unit
from beadcheck.limits.printed import LengthSystem, inch_words
from beadcheck.quantity import QuantityName
from beadcheck.target.toml_table import TomlTable
from beadcheck.units import MM_PER_INCH, Unit

VALUE_KEYS: Final = {
    Unit.MM2: "value_mm2",
    Unit.DEG: "value_deg",
    Unit.RATIO: "value_ratio",
    Unit.MM_PER_S: "value_mm_per_s",
    Unit.AMPERE: "value_a",
    Unit.WATT: "value_w",
    Unit.KJ_PER_MM: "value_kj_per_mm",
    Unit.HERTZ: "value_hz",
}
LENGTHS: Final = (
    "value",
    "least",
    "no_less_than",
    "no_more_than",
    "length_total",
    "length_window",
    "length_over",
)
SIZES: Final = tuple(
    f"{what}_{bound}"
    for what in ("thickness", "width")
    for bound in ("from", "over", "to", "below")
)
PAIR_APART: Final = 1.5
"""Times by which both numbers of a printed pair may differ: codes round 1/32 in to 1 mm (1.26)."""

_SPANS: Final = {Unit.DEG: (0.0, 180.0), Unit.RATIO: (-1.0, 1.0), Unit.WATT: (0.0, 100_000.0)}
"""Smallest and largest limit, where the usual ones do not fit: a percentage is no ratio."""
_SYSTEMS: Final = (LengthSystem.MM, LengthSystem.INCH)


def least_key(unit: Unit) -> str:
    """Key of the lower of two limits in a unit that is no length."""
    return VALUE_KEYS[unit].replace("value", "least", 1)


def refuse_pairs_apart(table: TomlTable) -> None:
    """Refuse a printed pair that cannot mean the same: one of the two is a slip of the pen.

    Raises
    ------
    InputFileError
    """
    for key in (*LENGTHS, *SIZES):
        if not {f"{key}_mm", f"{key}_inch"} <= table.values.keys():
            continue
        in_mm, in_inches = (
            length_mm(table, key, system, lowest=-HIGHEST_VALUE) or 0.0 for system in _SYSTEMS
        )
        near, far = sorted((abs(in_mm), abs(in_inches)))
        if in_mm * in_inches < 0.0 or far > PAIR_APART * near:
            marks = max(1, round(64.0 * abs(in_mm) / MM_PER_INCH))
            needed = f"about as long as {key}_mm, which is near {inch_words(marks / 64.0)}"
            raise table.refusal(f"{key}_inch", needed)


def constant_of(
    table: TomlTable, quantity: QuantityName, sense: Sense, system: LengthSystem
) -> float:
    """Value of a limit, or what of it depends on neither width nor thickness, in its unit.

    Raises
    ------
    InputFileError
    """
    unit = limit_unit(quantity)
    if unit is not Unit.MM:
        return _number(table, VALUE_KEYS[unit], unit, example=3.2)
    found = length_mm(table, "value", system, lowest=-HIGHEST_VALUE)
    if found is None:
        raise MissingKeyError(table.place(), "value_mm", "value_mm = 3.2")
    if found < 0.0 and sense is Sense.AT_MOST and quantity not in SIGNED and not _varies(table):
        raise table.refusal(key_of(table, "value", system), "0 (none at all) or more")
    return found


def lowest_of(
    table: TomlTable, quantity: QuantityName, sense: Sense, system: LengthSystem
) -> float | None:
    """Lower of two limits; None where there is one.

    Raises
    ------
    InputFileError
    """
    unit = limit_unit(quantity)
    key = key_of(table, "least", system) if unit is Unit.MM else least_key(unit)
    if sense is not Sense.BETWEEN:
        if key in table.values:
            raise table.refusal(key, 'left out, or the sense "between"')
        return None
    if key not in table.values:
        key = "least_mm" if unit is Unit.MM else key
        raise MissingKeyError(table.place("sense"), key, f"{key} = 0.8")
    if unit is Unit.MM:
        found = length_mm(table, "least", system, lowest=-HIGHEST_VALUE)
    else:
        found = _number(table, key, unit, example=0.8)
    most = constant_of(table, quantity, sense, system)
    if found is not None and not _varies(table) and found > most:
        raise table.refusal(key, "a number no larger than the value")
    return found


def _number(table: TomlTable, key: str, unit: Unit, *, example: float) -> float:
    lowest, highest = _SPANS.get(unit, (-HIGHEST_VALUE, HIGHEST_VALUE))
    written = f"{key} = {example:g}"
    if unit is Unit.RATIO:
        written = f"{key} = 0.6, which is 60 %"
    return table.number(key, lowest, highest, example=written)


def _varies(table: TomlTable) -> bool:
    """Whether the value depends on width or thickness, so that its constant alone says little."""
    return "per_weld_width" in table.values or "per_thickness" in table.values
