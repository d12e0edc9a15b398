"""One ``[[limit]]`` of a limit file."""

from dataclasses import replace
from typing import Final

from beadcheck.coupon import Process, Shape, WeldPass
from beadcheck.errors.input_file import MissingKeyError
from beadcheck.limits.cells import (
    key_of,
    length_mm,
    refuse_unknown,
    text,
    texts,
    word,
    words,
    yes,
)
from beadcheck.limits.decision import Sense
from beadcheck.limits.limit import Limit, Obligation, Sizes, Verified, limit_unit
from beadcheck.limits.printed import LengthSystem
from beadcheck.limits.stretches import SHORT, Stretches
from beadcheck.limits.values import (
    LENGTHS,
    SIZES,
    VALUE_KEYS,
    constant_of,
    least_key,
    lowest_of,
    refuse_pairs_apart,
)
from beadcheck.quantity import QuantityName, Statistic
from beadcheck.target.toml_table import TomlTable
from beadcheck.units import MM_PER_INCH, Unit

_PLAIN_LENGTH_KEYS: Final = (
    "per_weld_width",
    "per_thickness",
    "length_share_of_weld",
    "length_over_per_thickness",
    "short_only",
)
_PLAIN_KEYS: Final = (
    "quantity",
    "statistic",
    "relative_to",
    "sense",
    "passes",
    "processes",
    "shapes",
    "imperfections",
    "edition",
    "clause",
    "verified",
    "obligation",
    "printed",
    "note",
)
_SPREAD: Final = (Statistic.MEAN, Statistic.SD, Statistic.MIN, Statistic.MAX)
_STATISTICS: Final = {
    QuantityName.CENTRELINE_DEVIATION: (Statistic.MAX,),
    QuantityName.TOE_WAVINESS: (Statistic.SD,),
    QuantityName.PULSE_OVERLAP: (Statistic.MEAN, Statistic.MIN),
    QuantityName.TRAVEL_SPEED: (Statistic.MEAN,),
    QuantityName.UNDERCUT_DEPTH: (Statistic.MAX,),
    QuantityName.UNDERCUT_LENGTH: (Statistic.MAX, Statistic.TOTAL),
    QuantityName.UNDERFILL: (Statistic.MAX,),
    QuantityName.UNDERFILL_LENGTH: (Statistic.MAX, Statistic.TOTAL),
    QuantityName.CONCAVITY: (Statistic.MAX,),
    QuantityName.CONCAVITY_LENGTH: (Statistic.MAX, Statistic.TOTAL),
    QuantityName.CONVEXITY: (Statistic.MAX,),
    QuantityName.LINEAR_MISALIGNMENT: (Statistic.MEAN, Statistic.SD, Statistic.MAX),
    **dict.fromkeys(
        (
            QuantityName.GROOVE_OVERLAP,
            QuantityName.MEAN_CURRENT,
            QuantityName.MEAN_POWER,
            QuantityName.ARC_ENERGY,
            QuantityName.HEAT_INPUT,
            QuantityName.PULSE_RATE,
        ),
        (Statistic.MEAN,),
    ),
}
"""What is measured of each quantity: a limit on anything else would never be compared."""


def limit_of(table: TomlTable, *, source: str, edition: str) -> Limit:
    """Limit that a table of the file stands for, with both of the numbers that it prints.

    Raises
    ------
    InputFileError
    """
    quantity = word(table, "quantity", QuantityName)
    unit = limit_unit(quantity)
    refuse_unknown(table, _known_keys(unit))
    refuse_pairs_apart(table)
    in_mm = _limit(table, quantity, source, edition, LengthSystem.MM)
    in_inches = _limit(table, quantity, source, edition, LengthSystem.INCH)
    if replace(in_inches, system=LengthSystem.MM) == in_mm:
        inches_alone = unit is Unit.MM and key_of(table, "value", LengthSystem.MM) == "value_inch"
        return in_inches if inches_alone else in_mm
    return replace(in_mm, other=in_inches)


def _known_keys(unit: Unit) -> tuple[str, ...]:
    sizes = tuple(f"{size}_{system}" for size in SIZES for system in LengthSystem)
    if unit is not Unit.MM:
        return (*_PLAIN_KEYS, *sizes, VALUE_KEYS[unit], least_key(unit))
    lengths = tuple(f"{key}_{s}" for key in LENGTHS for s in LengthSystem)
    return (*_PLAIN_KEYS, *sizes, *_PLAIN_LENGTH_KEYS, *lengths)


def _limit(
    table: TomlTable, quantity: QuantityName, source: str, edition: str, system: LengthSystem
) -> Limit:
    unit = limit_unit(quantity)
    statistic = _statistic(table, quantity)
    clause = text(table, "clause")
    source = f"{source} ({text(table, 'edition') or edition})"
    sense = word(table, "sense", Sense)
    return Limit(
        quantity=quantity,
        statistic=statistic,
        relative_to=_reference(table, statistic),
        sense=sense,
        unit=unit,
        constant=constant_of(table, quantity, sense, system),
        lowest=lowest_of(table, quantity, sense, system),
        per_weld_width=_share(table, "per_weld_width") or 0.0,
        per_thickness=_share(table, "per_thickness") or 0.0,
        no_less_than=length_mm(table, "no_less_than", system),
        no_more_than=_no_more_than(table, system),
        thicknesses=_sizes(table, "thickness", system),
        widths=_sizes(table, "width", system),
        passes=words(table, "passes", WeldPass),
        processes=words(table, "processes", Process),
        shapes=words(table, "shapes", Shape),
        stretches=_stretches(table, sense, system),
        imperfections=texts(table, "imperfections", 'imperfections = ["5011"]'),
        source=f"{source}, {clause}" if clause else source,
        verified=word(table, "verified", Verified, Verified.OWN),
        obligation=word(table, "obligation", Obligation, Obligation.SHALL),
        printed=text(table, "printed") or _printed(table),
        note=text(table, "note"),
        system=system,
    )


def _statistic(table: TomlTable, quantity: QuantityName) -> Statistic:
    statistic = word(table, "statistic", Statistic)
    measured = _STATISTICS.get(quantity, _SPREAD)
    if statistic not in measured:
        choice = " or ".join(f'"{each.value}"' for each in measured)
        raise table.refusal("statistic", f"{choice} for {quantity.value}")
    return statistic


def _reference(table: TomlTable, statistic: Statistic) -> Statistic | None:
    if "relative_to" not in table.values:
        return None
    reference = word(table, "relative_to", Statistic)
    if reference is not Statistic.MEAN or statistic not in {Statistic.MIN, Statistic.MAX}:
        raise table.refusal("relative_to", '"mean", with the statistic "min" or "max"')
    return reference


def _share(table: TomlTable, key: str) -> float | None:
    """Share of a size; None where the key is not there. Codes know none above 1."""
    if key not in table.values:
        return None
    return table.number(key, 0.0, 1.0, example=f"{key} = 0.05, which is 5 %")


def _no_more_than(table: TomlTable, system: LengthSystem) -> float | None:
    most, least = (length_mm(table, key, system) for key in ("no_more_than", "no_less_than"))
    if most is not None and least is not None and most < least:
        raise table.refusal(key_of(table, "no_more_than", system), "at least no_less_than")
    return most


def _sizes(table: TomlTable, what: str, system: LengthSystem) -> Sizes:
    found = Sizes(
        from_mm=length_mm(table, f"{what}_from", system),
        over_mm=length_mm(table, f"{what}_over", system),
        to_mm=length_mm(table, f"{what}_to", system),
        below_mm=length_mm(table, f"{what}_below", system),
    )
    lowest_mm = max(found.from_mm or 0.0, found.over_mm or 0.0)
    for bound, size_mm in (("to", found.to_mm), ("below", found.below_mm)):
        if size_mm is not None and size_mm < lowest_mm:
            key = key_of(table, f"{what}_{bound}", system)
            lowest = lowest_mm / MM_PER_INCH if key.endswith("_inch") else lowest_mm
            raise table.refusal(key, f"a number of at least {lowest:g}")
    return found


def _stretches(table: TomlTable, sense: Sense, system: LengthSystem) -> Stretches | None:
    given = [key for key in table.values if key.startswith("length_")]
    if yes(table, "short_only"):
        if given:
            raise table.refusal(given[0], "left out, as short_only says it all")
        return SHORT
    if not given:
        return None
    if sense is not Sense.AT_MOST:
        raise table.refusal(given[0], 'left out, or the sense "at most"')
    sizes = {key: length_mm(table, key, system) for key in ("length_total", "length_window")}
    for key, size_mm in sizes.items():
        if size_mm is None:
            raise MissingKeyError(table.place(given[0]), f"{key}_mm", f"{key}_mm = 50")
    total_mm, window_mm = (size_mm or 0.0 for size_mm in sizes.values())
    if window_mm < total_mm:
        key = key_of(table, "length_window", system)
        raise table.refusal(key, "a number of at least length_total")
    return Stretches(
        total_mm=total_mm,
        window_mm=window_mm,
        share_of_weld=_share(table, "length_share_of_weld"),
        over_mm=length_mm(table, "length_over", system),
        over_per_thickness=_share(table, "length_over_per_thickness"),
    )


def _printed(table: TomlTable) -> str:
    """Both numbers of the limit as they stand in the file, such as "1/32 in (1 mm)"."""
    for key in ("value", "no_more_than"):
        inch, in_mm = (table.values.get(f"{key}_{system}") for system in ("inch", "mm"))
        if inch is not None and in_mm is not None:
            return f"{inch} in ({in_mm:g} mm)"
        if inch is not None:
            return f"{inch} in"
    return ""
