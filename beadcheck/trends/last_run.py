"""What changed since somebody's last run of the same kind."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

from beadcheck.consistency import Change, Reading, change
from beadcheck.log import Log, Logged, Measurement, Run, measurement_of, run_before
from beadcheck.log.rows import QuantityRow, quantity_rows, setting_rows
from beadcheck.quantity import COVERAGE_FACTOR, QuantityName, Side, Statistic
from beadcheck.result import Result
from beadcheck.trends.settings_change import Setting, SettingChange, settings_changes
from beadcheck.units import Unit

TOLD: Final = (
    (QuantityName.WELD_WIDTH, Statistic.SD),
    (QuantityName.RIPPLE_SPACING, Statistic.SD),
    (QuantityName.CENTRELINE_DEVIATION, Statistic.MAX),
    (QuantityName.TOE_WAVINESS, Statistic.SD),
    (QuantityName.PULSE_OVERLAP, Statistic.MEAN),
    (QuantityName.WELD_WIDTH, Statistic.MEAN),
    (QuantityName.RIPPLE_SPACING, Statistic.MEAN),
    (QuantityName.FACE_REINFORCEMENT, Statistic.MAX),
)
"""Values that a hand moves, steadiness first."""
_Key: TypeAlias = tuple[str, str, str | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class ValueChange:
    """One value in this run against the last one."""

    name: QuantityName
    statistic: Statistic
    side: Side | None
    unit: Unit
    change: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class LastRun:
    """The last run of the same pass and process, and what is different since.

    Attributes
    ----------
    position
        Test position now, where it is another than then; else None.
    polarities
        Polarity then and now, where both were said and differ; else None.
    values
        Those that were measured both times.
    settings
        What is set otherwise, where settings were given both times.
    """

    earlier: Logged
    position: str | None
    polarities: tuple[str, str] | None
    values: tuple[ValueChange, ...]
    settings: tuple[SettingChange, ...]


def since_last_run(log: Log, result: Result, run: Run) -> LastRun | None:
    """Compare a result with the person's run before; None where there was none of the same kind.

    Raises
    ------
    LogError
    """
    earlier = run_before(log, run)
    if earlier is None:
        return None
    then = measurement_of(log, earlier.number).result
    position = result.coupon.position
    before, after = _settings(then), _settings(result)
    return LastRun(
        earlier=earlier,
        position=position if position != earlier.position else None,
        polarities=_polarities(then, result),
        values=_values(_by_key(then), _by_key(result)),
        settings=settings_changes(before, after) if before and after else (),
    )


def last_run_of(log: Log, found: Measurement) -> LastRun | None:
    """Compare a logged measurement with the person's run before it.

    Raises
    ------
    LogError
    """
    logged = found.logged
    run = Run(
        person=logged.person,
        coupon=logged.coupon,
        name=logged.run,
        weld_pass=logged.weld_pass,
        process=logged.process,
        measured_at=logged.measured_at,
    )
    return since_last_run(log, found.result, run)


def _polarities(then: Result, now: Result) -> tuple[str, str] | None:
    before, after = then.coupon.polarity, now.coupon.polarity
    return None if before is None or after is None or before == after else (before, after)


def _values(
    before: Mapping[_Key, QuantityRow], after: Mapping[_Key, QuantityRow]
) -> tuple[ValueChange, ...]:
    return tuple(
        ValueChange(
            name=name,
            statistic=statistic,
            side=side,
            unit=Unit(after[key]["unit"]),
            change=change([_reading(before[key])], [_reading(after[key])]),
        )
        for name, statistic in TOLD
        for side in (None, *Side)
        if (key := (name.value, statistic.value, None if side is None else side.value)) in before
        and key in after
        and before[key]["unit"] == after[key]["unit"]
    )


def _by_key(result: Result) -> dict[_Key, QuantityRow]:
    """Values that stand for the whole pass; pixels of two photos are no common unit."""
    return {
        (row["name"], row["statistic"], row["side"]): row
        for row in quantity_rows(result)
        if row["for_pass"] and row["unit"] != Unit.PX
    }


def _reading(row: QuantityRow) -> Reading:
    return Reading(
        value=row["value"], standard_uncertainty=row["expanded_uncertainty"] / COVERAGE_FACTOR
    )


def _settings(result: Result) -> dict[str, Setting]:
    return {row["name"]: (row["value"], Unit(row["unit"])) for row in setting_rows(result)}
