"""A number with the causes that make it unsure, and how they go through a formula."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from beadcheck.quantity import (
    COVERAGE_FACTOR,
    Component,
    Scope,
    combined_standard_uncertainty,
)
from beadcheck.units import Unit

_STEP: Final = 1e-6
"""Relative step of the slopes: far above rounding (1e-16), far below any bend of the formulae."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One cause of doubt.

    Attributes
    ----------
    source
        What the cause is; the same words are the same cause, wherever it comes in.
    swing
        By how much the value moves when the cause moves by one standard uncertainty, in the unit of
        the value; its sign tells which way.
    """

    source: str
    swing: float
    scope: Scope


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A number in its unit, with every cause of its doubt."""

    value: float
    unit: Unit
    effects: tuple[Effect, ...] = ()

    @property
    def budget(self) -> tuple[Component, ...]:
        """Causes as a quantity carries them: one each, without a sign."""
        return tuple(
            Component(source=each.source, standard_uncertainty=abs(each.swing), scope=each.scope)
            for each in self.effects
        )

    @property
    def expanded_uncertainty(self) -> float:
        """Expanded uncertainty at `COVERAGE_FACTOR`, in the unit of the value."""
        return COVERAGE_FACTOR * combined_standard_uncertainty(self.budget)


def worked_out(formula: Callable[..., float], *inputs: Reading, unit: Unit) -> Reading:
    """Result of a formula, with the causes of all its inputs (GUM 5.1.2 and 5.2.2).

    A cause that comes in through two inputs adds up with its sign, so that it may cancel. The
    slopes are central differences, as GUM 5.1.3, note 2, allows.

    Parameters
    ----------
    formula
        Takes the values of the inputs in their order, and gives a number in `unit`.

    Examples
    --------
    >>> cause = Effect(source="clock", swing=0.1, scope=Scope.PHOTO)
    >>> time = Reading(value=2.0, unit=Unit.S, effects=(cause,))
    >>> worked_out(lambda a, b: a / b, time, time, unit=Unit.RATIO).expanded_uncertainty
    0.0
    """
    values = [each.value for each in inputs]
    swings: dict[tuple[str, Scope], float] = {}
    for index, each in enumerate(inputs):
        slope = _slope(formula, values, index) if each.effects else 0.0
        for effect in each.effects:
            cause = (effect.source, effect.scope)
            swings[cause] = swings.get(cause, 0.0) + slope * effect.swing
    effects = (
        Effect(source=source, swing=swing, scope=scope) for (source, scope), swing in swings.items()
    )
    return Reading(value=formula(*values), unit=unit, effects=tuple(effects))


def _slope(formula: Callable[..., float], values: list[float], index: int) -> float:
    step = _STEP * (abs(values[index]) or 1.0)
    above, below = list(values), list(values)
    above[index] += step
    below[index] -= step
    return (formula(*above) - formula(*below)) / (2.0 * step)
