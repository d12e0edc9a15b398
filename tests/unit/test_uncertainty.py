"""Scale is added to lengths in proportion, and cancels in ratios."""

from numpy.testing import assert_allclose

from beadcheck.quantity import Component, Quantity, QuantityName, Scope, Statistic
from beadcheck.uncertainty import ScaleEffects
from beadcheck.units import Unit


def relative(source: str, ratio: float) -> Component:
    return Component(source=source, standard_uncertainty=ratio, scope=Scope.PRINT)


EFFECTS = ScaleEffects(across=(relative("print", 0.006),), along=(relative("print", 0.004),))


def quantity(name: QuantityName, value: float, unit: Unit) -> Quantity:
    return Quantity(
        name=name,
        statistic=Statistic.MEAN,
        value=value,
        unit=unit,
        count=40,
        budget=(Component(source="own", standard_uncertainty=0.03, scope=Scope.STATION),),
        s_range_mm=(0.0, 40.0),
    )


def test_a_width_takes_the_scale_across_the_weld() -> None:
    width = EFFECTS.applied_to(quantity(QuantityName.WELD_WIDTH, 12.0, Unit.MM))
    assert_allclose(width.budget[-1].standard_uncertainty, 0.072)
    assert_allclose(width.expanded_uncertainty, 2.0 * (0.03**2 + 0.072**2) ** 0.5)


def test_a_spacing_takes_the_scale_along_the_weld() -> None:
    spacing = EFFECTS.applied_to(quantity(QuantityName.RIPPLE_SPACING, 1.5, Unit.MM))
    assert_allclose(spacing.budget[-1].standard_uncertainty, 0.006)


def test_the_scale_cancels_in_a_ratio_of_two_lengths() -> None:
    overlap = quantity(QuantityName.PULSE_OVERLAP, 0.7, Unit.RATIO)
    assert EFFECTS.applied_to(overlap) == overlap
