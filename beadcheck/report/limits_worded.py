"""Limits in words: formula, value for a joint, and what they hold for."""

from dataclasses import dataclass

from beadcheck.coupon import Coupon
from beadcheck.limits import (
    LengthSystem,
    Limit,
    LimitSet,
    Obligation,
    Verified,
    limit_length_words,
    limits_for,
)
from beadcheck.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """What limits depend on, as far as it is known; `width_mm` is that of the weld."""

    coupon: Coupon
    width_mm: float | None

    def holding(self, limit_set: LimitSet) -> list[Limit]:
        """Limits of a set that hold for the joint."""
        return [
            limit
            for limit in limits_for(limit_set, self.coupon)
            if self.width_mm is None or self.width_mm in limit.widths
        ]

    def lacks_thickness(self, limit: Limit) -> bool:
        """Whether the limit waits for the wall thickness."""
        return limit.needs_thickness and self.coupon.wall_thickness_mm is None

    def lacks_width(self, limit: Limit) -> bool:
        """Whether the limit waits for the weld width."""
        return limit.needs_width and self.width_mm is None


def here_words(limit: Limit, joint: Joint) -> str:
    """Sense and value of a limit for the joint, which knows what the limit depends on."""
    value = limit.at(
        width_mm=joint.width_mm or 0.0, thickness_mm=joint.coupon.wall_thickness_mm or 0.0
    )
    if limit.forbids_any(value):
        return "none"
    sizes = [value] if limit.lowest is None else [limit.lowest, value]
    words = " and ".join(value_words(size, limit.unit, limit.system) for size in sizes)
    return f"{limit.sense.value} {words}"


def marks_of(limit: Limit, joint: Joint) -> str:
    """What stands in brackets after a limit's value: weight, sureness, length; else empty."""
    marks = [limit.obligation.value] if limit.obligation is Obligation.SHOULD else []
    if limit.verified in {Verified.MEMORY, Verified.SECONDARY}:
        marks.append(limit.verified.value)
    if limit.stretches is not None:
        over_mm = limit.stretches.over_at(joint.coupon.wall_thickness_mm or 0.0)
        deeper = f"deeper than {value_words(over_mm, limit.unit, limit.system)} "
        on = f"on {limit.stretches.words(limit.system)}"
        marks.append(f"{deeper}{on}" if over_mm > 0.0 else on)
    return f" ({'; '.join(marks)})" if marks else ""


def quantity_column(limit: Limit) -> str:
    """Name of the quantity, and which summary of it is limited.

    A limit is mostly on the largest: that is not said.
    """
    name = limit.quantity.value.replace("_", " ")
    return name if limit.statistic_words == "max" else f"{name}, {limit.statistic_words}"


def value_words(value: float, unit: Unit, system: LengthSystem) -> str:
    """Value of a limit with its unit, inches beside millimetres where those are printed.

    Examples
    --------
    >>> value_words(3.97, Unit.MM, LengthSystem.MM)
    '3.97 mm'
    >>> value_words(0.79375, Unit.MM, LengthSystem.INCH)
    '0.79 mm (1/32 in)'
    """
    if unit is Unit.RATIO:
        return f"{100.0 * value:g} %"
    if unit is not Unit.MM:
        return f"{value:g} {unit.value}"
    return limit_length_words(value, system)


def limit_words(limit: Limit) -> str:
    """Obligation, sense and formula of a limit, as printed where the source prints inches too."""
    varies = limit.per_weld_width or limit.per_thickness or limit.no_less_than
    if limit.forbids_any(limit.constant) and not varies:
        return f"there {limit.obligation.value} be none"
    words = f"{limit.obligation.value} be {limit.sense.value} {_lowest(limit)}"
    words += _formula(limit)
    if limit.stretches is not None:
        words += f", {_stretch_words(limit)}"
    return f"{words} (printed: {limit.printed})" if limit.printed else words


def _lowest(limit: Limit) -> str:
    return "" if limit.lowest is None else f"{_size(limit.lowest, limit)} and "


def _formula(limit: Limit) -> str:
    varies = limit.per_weld_width or limit.per_thickness
    terms = [_size(limit.constant, limit)] if limit.constant or not varies else []
    if limit.per_weld_width:
        terms.append(f"{limit.per_weld_width:g} × weld width")
    if limit.per_thickness:
        terms.append(f"{limit.per_thickness:g} × thickness")
    words = " + ".join(terms)
    if limit.no_less_than is not None:
        words += f" or {_size(limit.no_less_than, limit)}, whichever is greater"
    if limit.no_more_than is not None:
        words += f", no more than {_size(limit.no_more_than, limit)}"
    return words


def _stretch_words(limit: Limit) -> str:
    stretches = limit.stretches
    if stretches is None:
        return ""
    over = []
    if stretches.over_mm is not None:
        over.append(_size(stretches.over_mm, limit))
    if stretches.over_per_thickness is not None:
        over.append(f"{stretches.over_per_thickness:g} × thickness")
    deeper = f"deeper than {' or '.join(over)} " if over else ""
    return f"{deeper}only on {stretches.words(limit.system)}"


def _size(value: float, limit: Limit) -> str:
    in_inches = limit.unit is Unit.MM and limit.system is LengthSystem.INCH
    if in_inches or limit.unit is Unit.RATIO:
        return value_words(value, limit.unit, limit.system)
    return f"{value:g} {limit.unit.value}"


def holds_for_words(limit: Limit) -> str:
    """Passes, processes, shapes, thicknesses and widths that a limit holds for."""
    groups = (limit.passes, limit.processes, limit.shapes)
    words = [" or ".join(each.value for each in group) for group in groups if group]
    for what, sizes in (("thickness", limit.thicknesses), ("weld width", limit.widths)):
        bounds = (
            ("from", sizes.from_mm),
            ("over", sizes.over_mm),
            ("up to", sizes.to_mm),
            ("below", sizes.below_mm),
        )
        said = [
            f"{word} {_bound(size_mm, limit.system)}"
            for word, size_mm in bounds
            if size_mm is not None
        ]
        if said:
            words.append(f"{what} {' '.join(said)}")
    return ", ".join(words) or "all"


def _bound(size_mm: float, system: LengthSystem) -> str:
    if system is LengthSystem.INCH:
        return limit_length_words(size_mm, system)
    return f"{round(size_mm, 2):g} mm"
