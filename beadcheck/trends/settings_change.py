"""Where the settings of a welder's runs changed last."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

from beadcheck.log import SettingOf, SummaryRow
from beadcheck.units import Unit

Setting: TypeAlias = tuple[float, Unit]
"""One number as set."""


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
    given: dict[int, dict[str, Setting]] = {}
    for each in settings:
        given.setdefault(each.measurement, {})[each.name] = (each.value, each.unit)
    told = [
        (index, given[row.measurement])
        for index, row in enumerate(rows)
        if row.measurement in given
    ]
    for (_, before), (index, after) in reversed(list(pairwise(told))):
        changes = settings_changes(before, after)
        if changes:
            return SettingsChange(first_after=index, changes=changes)
    return None


def settings_changes(
    before: Mapping[str, Setting], after: Mapping[str, Setting]
) -> tuple[SettingChange, ...]:
    """Every number, by its name, that is another after than before, or given only once."""
    return tuple(
        SettingChange(
            name=name,
            unit=(after.get(name) or before[name])[1],
            before=before[name][0] if name in before else None,
            after=after[name][0] if name in after else None,
        )
        for name in dict.fromkeys([*before, *after])
        if before.get(name, (None,))[0] != after.get(name, (None,))[0]
    )
