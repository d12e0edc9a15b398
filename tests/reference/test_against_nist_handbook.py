"""Worked examples of the NIST/SEMATECH e-Handbook of Statistical Methods.

6.3.2.2, individuals charts (flow rates of ten batches): data and the four printed results were
*verified in public text* (several public repositories quote them from that page). 6.1.6, capability
indices (limits 8 and 20, mean 16, standard deviation 2): the printed Cp, Cpk, Cpu and Cpl, and the
definitions, were *verified in public text*; the intervals go by their printed formula. 6.3.2.1,
constants of mean and range charts (for groups of 2 to 10), and 6.3.2, the WECO rules, are *from
memory*.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.consistency import (
    ControlChart,
    RunRule,
    capability_of,
    individuals_charts,
    mean_and_range_charts,
    signals,
)
from beadcheck.consistency.chart_constants import mean_range, range_spread

FLOW_RATES = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)


def test_individuals_chart_of_the_flow_rates() -> None:
    charts = individuals_charts(FLOW_RATES)
    assert_allclose(charts.level.centre, 50.81, atol=0.005)
    assert_allclose(charts.scatter.centre, 1.8778, atol=0.00005)
    # Printed with d2 rounded to 1.128: 50.81 +- 3 x 1.8778 / 1.128.
    assert_allclose(charts.level.upper, 55.8041, atol=0.003)
    assert_allclose(charts.level.lower, 45.8159, atol=0.003)
    assert charts.level.trial
    # "The process is in control, since none of the plotted points fall outside": its own words.
    assert not [s for s in signals(charts.level) if s.rule is RunRule.BEYOND_LIMIT]


@pytest.mark.parametrize(
    ("readings", "d2", "d3"),
    [
        (2, 1.128, 0.853),
        (3, 1.693, 0.888),
        (4, 2.059, 0.880),
        (5, 2.326, 0.864),
        (6, 2.534, 0.848),
        (7, 2.704, 0.833),
        (8, 2.847, 0.820),
        (9, 2.970, 0.808),
        (10, 3.078, 0.797),
    ],
)
def test_chart_constants(readings: int, d2: float, d3: float) -> None:
    assert_allclose(mean_range(readings), d2, atol=0.0005)
    assert_allclose(range_spread(readings), d3, atol=0.0005)


@pytest.mark.parametrize(
    ("readings", "a2", "lower_factor", "upper_factor"),
    [
        (2, 1.880, 0.0, 3.267),
        (3, 1.023, 0.0, 2.575),
        (4, 0.729, 0.0, 2.282),
        (5, 0.577, 0.0, 2.115),
        (7, 0.419, 0.076, 1.924),
        (10, 0.308, 0.223, 1.777),
    ],
)
def test_mean_and_range_limits_by_the_tabled_factors(
    readings: int, a2: float, lower_factor: float, upper_factor: float
) -> None:
    # Six groups whose mean range is 2 exactly: limits are the tabled factors times that.
    groups = [[10.0 + k] * (readings - 1) + [10.0 + k + span] for k, span in enumerate((1, 3) * 3)]
    charts = mean_and_range_charts(groups)
    assert charts.scatter.centre == 2.0
    assert_allclose((charts.level.upper - charts.level.centre) / 2.0, a2, atol=0.001)
    assert_allclose(charts.scatter.upper / 2.0, upper_factor, atol=0.002)
    assert_allclose(charts.scatter.lower / 2.0, lower_factor, atol=0.002)


def test_capability_of_the_process_off_its_middle() -> None:
    found = capability_of(mean=16.0, sd=2.0, count=50, lowest=8.0, highest=20.0)
    assert found.cp == 1.0
    assert_allclose(found.cpk, 0.6667, atol=0.00005)
    upper = capability_of(mean=16.0, sd=2.0, count=50, highest=20.0)
    lower = capability_of(mean=16.0, sd=2.0, count=50, lowest=8.0)
    assert upper.cp is None
    assert_allclose(upper.cpk, 0.6667, atol=0.00005)
    assert_allclose(lower.cpk, 1.3333, atol=0.00005)


def test_capability_interval_by_its_printed_formula() -> None:
    # Cpk +- 1.96 sqrt(1 / 9n + Cpk^2 / 2(n - 1)), here for n = 50 and Cpk = 2/3, by hand: 0.1611.
    found = capability_of(mean=16.0, sd=2.0, count=50, lowest=8.0, highest=20.0)
    low, high = found.cpk_range
    assert_allclose(0.5 * (high - low), 0.1611, atol=0.00005)
    # Chi-square quantiles of 49 degrees of freedom, 31.555 and 70.222 (any table).
    assert found.cp_range is not None
    assert_allclose(found.cp_range, [(31.555 / 49) ** 0.5, (70.222 / 49) ** 0.5], atol=0.0001)


def chart(*z: float) -> ControlChart:
    return ControlChart(values=np.array(z), centre=0.0, lower=-3.0, upper=3.0, sigma=1.0)


@pytest.mark.parametrize(
    ("points", "rule", "first", "last"),
    [
        ((0.1, -3.2, 0.3), RunRule.BEYOND_LIMIT, 1, 1),
        ((0.1, 2.3, -0.4, 2.1, 0.2), RunRule.TWO_OF_THREE, 1, 3),
        ((0.1, -1.2, -1.4, 0.3, -1.1, -1.3, 0.4), RunRule.FOUR_OF_FIVE, 1, 5),
        ((-0.2, 0.3, 0.1, 0.6, 0.2, 0.9, 0.1, 0.5, 0.4, -0.1), RunRule.EIGHT_ON_A_SIDE, 1, 8),
        ((0.5, -0.9, -0.6, -0.1, 0.2, 0.4, 0.8, 0.1), RunRule.SIX_TRENDING, 1, 6),
    ],
)
def test_each_rule_picks_out_its_run(points, rule, first, last) -> None:
    picked = [s for s in signals(chart(*points)) if s.rule is rule]
    assert [(s.first, s.last) for s in picked] == [(first, last)]
    # Mirrored about the centre, the same points are the same run.
    mirrored = [s for s in signals(chart(*(-p for p in points))) if s.rule is rule]
    assert mirrored == picked


def test_fourteen_alternating_points_are_picked_out_and_thirteen_are_not() -> None:
    swinging = [0.2 if k % 2 else -0.3 for k in range(14)]
    rules = {s.rule for s in signals(chart(*swinging))}
    assert rules == {RunRule.FOURTEEN_ALTERNATING}
    assert not signals(chart(*swinging[:13]))


def test_points_that_never_change_make_no_signal() -> None:
    charts = individuals_charts([4.0] * 9)
    assert charts.level.sigma == 0.0
    assert not signals(charts.level)
