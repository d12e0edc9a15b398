"""Where the settings of a welder's runs changed last."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from beadcheck.log import SettingOf, SummaryRow
from beadcheck.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingChange:
    """One number that was set otherwise from some weld on; None where it was not given."""

    name: str
    unit: Unit
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsChange:
    """The last change of settings: `first_after` is the index of the first row welded with it."""

    first_after: int
    changes: tuple[SettingChange, ...]


def last_settings_change(
    rows: Sequence[SummaryRow], settings: Iterable[SettingOf]
) -> SettingsChange | None:
    """Return the last change of settings among welds in their order; None where none changed.

    Runs whose settings nobody gave say nothing: they are passed over.
    """
    given: dict[int, dict[str, SettingOf]] = {}
    for each in settings:
        given.setdefault(each.measurement, {})[each.name] = each
    told = [
        (index, given[row.measurement])
        for index, row in enumerate(rows)
        if row.measurement in given
    ]
    for (_, before), (index, after) in reversed(list(pairwise(told))):
        changes = tuple(
            SettingChange(
                name=name,
                unit=(after.get(name) or before[name]).unit,
                before=before[name].value if name in before else None,
                after=after[name].value if name in after else None,
            )
            for name in dict.fromkeys([*before, *after])
            if _value(before, name) != _value(after, name)
        )
        if changes:
            return SettingsChange(first_after=index, changes=changes)
    return None


def _value(settings: dict[str, SettingOf], name: str) -> float | None:
    return settings[name].value if name in settings else None
