import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import ttest_ind

from beadcheck.consistency import Reading, along, by_clock, change


def readings(*values: float, u: float) -> list[Reading]:
    return [Reading(value=value, standard_uncertainty=u) for value in values]


def test_a_difference_within_repeat_measurement_is_not_called_one() -> None:
    found = change(readings(7.0, 7.2, u=0.2), readings(7.3, 7.5, u=0.2))
    assert_allclose(found.difference, 0.3)
    assert_allclose(found.by_measuring, 2 * 0.2 * np.sqrt(2))
    assert not found.exceeds_measuring


def test_stated_uncertainties_do_not_shrink_but_repeatability_does() -> None:
    before, after = readings(*[7.0] * 8, u=0.2), readings(*[7.3] * 8, u=0.2)
    assert not change(before, after).exceeds_measuring
    assert change(before, after, repeatability=0.2).exceeds_measuring


def test_the_welds_own_scatter_is_that_of_welch() -> None:
    before, after = [6.1, 6.9, 7.4, 6.6], [5.2, 5.9, 5.1, 5.4, 5.8]
    found = change(readings(*before, u=0.1), readings(*after, u=0.1))
    interval = ttest_ind(after, before, equal_var=False).confidence_interval(0.95)
    assert found.by_welding is not None
    assert_allclose(found.difference - found.by_welding, interval.low)
    assert_allclose(found.difference + found.by_welding, interval.high)
    assert found.exceeds_welding


def test_one_weld_a_side_leaves_the_welds_scatter_unknown() -> None:
    found = change(readings(6.0, u=0.1), readings(7.0, u=0.1))
    assert found.by_welding is None
    assert found.exceeds_welding is None
    with pytest.raises(ValueError, match="at least one weld"):
        change([], readings(7.0, u=0.1))


def test_clock_sectors_hold_their_hour_in_the_middle() -> None:
    clock = np.arange(0.0, 360.0, 2.0)
    around = by_clock(clock, clock, sectors=12)
    assert [stretch.middle for stretch in around] == [30.0 * k for k in range(12)]
    assert_allclose(around[3].mean, clock[(clock >= 75) & (clock < 105)].mean())
    assert sum(stretch.count for stretch in around) == clock.size


def test_unknown_values_are_left_out_and_sparse_stretches_say_nothing() -> None:
    s_mm = np.arange(3.0, 43.0)
    values = np.where(s_mm < 13.0, np.nan, 8.0)
    first, *rest = along(s_mm, values, stretch_mm=10.0)
    assert first.count == 0
    assert np.isnan(first.mean)
    assert [stretch.mean for stretch in rest] == [8.0, 8.0, 8.0]
    assert along([], [], stretch_mm=10.0) == ()
