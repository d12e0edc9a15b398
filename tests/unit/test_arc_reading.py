"""How doubt goes through a formula."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.arc import Effect, Reading, worked_out
from beadcheck.arc.stated import CURRENT, VOLTS, of_one_voltage
from beadcheck.errors.arc import ArcValueBeyondReachError
from beadcheck.quantity import Scope
from beadcheck.units import Unit

positive = st.floats(0.5, 500.0)


def reading(value: float, *swings: tuple[str, float]) -> Reading:
    effects = (Effect(source=name, swing=swing, scope=Scope.PHOTO) for name, swing in swings)
    return Reading(value=value, unit=Unit.MM, effects=tuple(effects))


@given(a=positive, b=positive, u=st.floats(0.001, 0.2), w=st.floats(0.001, 0.2))
def test_a_quotient_has_the_relative_uncertainties_in_squares(
    a: float, b: float, u: float, w: float
) -> None:
    ratio = worked_out(
        lambda x, y: x / y, reading(a, ("a", u * a)), reading(b, ("b", w * b)), unit=Unit.RATIO
    )
    # Central differences over a millionth: six figures and more.
    assert_allclose(ratio.expanded_uncertainty / ratio.value, 2.0 * math.hypot(u, w), rtol=1e-6)


def test_one_cause_in_two_inputs_cancels_in_a_quotient_and_doubles_in_a_square() -> None:
    length = reading(3.7, ("scale", 0.037))
    ratio = worked_out(lambda x, y: x / y, length, length, unit=Unit.RATIO)
    square = worked_out(lambda x, y: x * y, length, length, unit=Unit.MM2)
    assert_allclose(ratio.expanded_uncertainty, 0.0, atol=1e-9)
    assert_allclose(square.expanded_uncertainty / square.value, 2.0 * 0.02, rtol=1e-6)
    assert len(square.budget) == 1


def test_a_stated_uncertainty_replaces_the_usual_one() -> None:
    assert_allclose(CURRENT.reading(120.0, 3.0).expanded_uncertainty, 3.0)
    # 5 % of 120 A, rectangular, k = 2.
    assert_allclose(CURRENT.reading(120.0).expanded_uncertainty, 2.0 * 6.0 / math.sqrt(3.0))


@pytest.mark.parametrize("value", [0.0, -5.0, 1e6, math.nan, math.inf])
def test_a_number_that_no_arc_has_is_refused_with_it(value: float) -> None:
    with pytest.raises(ArcValueBeyondReachError, match="welding current of"):
        CURRENT.reading(value)


def test_one_voltage_for_two_levels_is_the_less_sure_the_further_they_lie_apart() -> None:
    volts = VOLTS.reading(11.0, 0.4)
    near = of_one_voltage(volts, CURRENT.reading(120.0), CURRENT.reading(100.0))
    far = of_one_voltage(volts, CURRENT.reading(120.0), CURRENT.reading(20.0))
    assert [each.value for each in far] == [11.0, 11.0]
    # Half of 0.04 V/A * 100 A, rectangular, beside the stated U.
    expected = math.hypot(0.4, 2.0 * 2.0 / math.sqrt(3.0))
    assert_allclose(far[0].expanded_uncertainty, expected)
    assert near[1].expanded_uncertainty < far[1].expanded_uncertainty
