"""Conformity probabilities and decisions against published examples.

JCGM 106:2012: Zener diode (7.3.2, example 1), container burst (7.3.3, example), kinematic viscosity
of oil (7.4, example), speed law (8.3.2.3, example). Clause numbers, data and printed results are
*from memory*.
The micrometer (limit ± 0.003 mm, U = 0.001 mm) is a worked example on a public metrology page:
*verified in public text*.
The guard bands' false-accept shares (2.3 % and 4.9 %) are those that ILAC-G8:09/2019 gives for
one-sided limits: *verified in public text*.
"""

import pytest
from numpy.testing import assert_allclose
from scipy.stats import norm

from beadcheck.limits import DecisionRule, Finding, Sense, conformity_probability, decide

PRINTED_TO = 0.005
"""The examples print two decimals."""


def test_zener_diode() -> None:
    probability = conformity_probability(-5.47, standard_uncertainty=0.05, highest=-5.40)
    assert_allclose(probability, 0.92, atol=PRINTED_TO)


def test_container_burst() -> None:
    probability = conformity_probability(507.0, standard_uncertainty=8.0, lowest=490.0)
    assert_allclose(probability, 0.98, atol=PRINTED_TO)


def test_viscosity_of_oil() -> None:
    probability = conformity_probability(13.6, standard_uncertainty=1.8, lowest=12.5, highest=16.3)
    assert_allclose(probability, 0.66, atol=PRINTED_TO)


def test_speed_law() -> None:
    # 107 km/h, with 2 % of standard uncertainty, is 99.9 % sure to exceed 100 km/h; 106 is not.
    for speed, sure in ((107.0, True), (106.0, False)):
        conforming = conformity_probability(speed, standard_uncertainty=0.02 * speed, highest=100.0)
        assert (conforming <= 0.001) is sure


@pytest.mark.parametrize("deviations", [-3.0, -1.4, 0.0, 0.61, 2.0, 6.0])
def test_the_normal_distribution_agrees_with_scipy(deviations: float) -> None:
    probability = conformity_probability(0.0, standard_uncertainty=1.0, highest=deviations)
    assert_allclose(probability, norm.cdf(deviations), rtol=1e-12)


@pytest.mark.parametrize(
    ("error_mm", "finding"),
    [
        (0.0017, Finding.WITHIN),
        (0.0019, Finding.WITHIN),
        (0.0025, Finding.UNDECIDED),
        (0.0035, Finding.UNDECIDED),
        (0.0041, Finding.OUTSIDE),
    ],
)
def test_micrometer(error_mm: float, finding: Finding) -> None:
    for sign, sense in ((1, Sense.AT_MOST), (-1, Sense.AT_LEAST)):
        found = decide(sign * error_mm, expanded_uncertainty=0.001, limit=sign * 0.003, sense=sense)
        assert found is finding


@pytest.mark.parametrize(
    ("error_mm", "finding"),
    [
        (-0.0041, Finding.OUTSIDE),
        (-0.0025, Finding.UNDECIDED),
        (-0.0019, Finding.WITHIN),
        (0.0017, Finding.WITHIN),
        (0.0021, Finding.UNDECIDED),
        (0.0041, Finding.OUTSIDE),
    ],
)
def test_micrometer_between_its_two_limits(error_mm: float, finding: Finding) -> None:
    """Acceptance limits of plus and minus 0.002 mm, as the page prints them."""
    found = decide(
        error_mm,
        expanded_uncertainty=0.001,
        limit=0.003,
        lowest=-0.003,
        sense=Sense.BETWEEN,
    )
    assert found is finding


def test_viscosity_of_oil_is_undecided() -> None:
    # A conformance probability of 0.66 is far from either guard band's 0.977 and 0.951.
    for rule in DecisionRule:
        found = decide(
            13.6,
            expanded_uncertainty=3.6,
            limit=16.3,
            lowest=12.5,
            sense=Sense.BETWEEN,
            rule=rule,
        )
        assert found is Finding.UNDECIDED


@pytest.mark.parametrize(
    ("speed", "finding"), [(106.0, Finding.UNDECIDED), (107.0, Finding.OUTSIDE)]
)
def test_speed_law_guard_band(speed: float, finding: Finding) -> None:
    # The example asks for 99.9 %: 3.09 standard uncertainties of 2 %, which is w = U for k = 3.09.
    found = decide(speed, expanded_uncertainty=3.09 * 0.02 * speed, limit=100.0)
    assert found is finding


@pytest.mark.parametrize(
    ("rule", "false_accept", "guard_band_in_u"),
    [(DecisionRule.FULL, 0.023, 1.0), (DecisionRule.NINETY_FIVE, 0.0485, 0.83)],
)
def test_the_worst_accepted_value_is_falsely_accepted_no_more_often_than_published(
    rule: DecisionRule, false_accept: float, guard_band_in_u: float
) -> None:
    limit, standard_uncertainty = 3.2, 0.1
    expanded_uncertainty = 2.0 * standard_uncertainty
    worst = limit - guard_band_in_u * expanded_uncertainty
    for value, finding in ((worst - 1e-9, Finding.WITHIN), (worst + 1e-9, Finding.UNDECIDED)):
        assert (
            decide(value, expanded_uncertainty=expanded_uncertainty, limit=limit, rule=rule)
            is finding
        )
    above = 1.0 - conformity_probability(
        worst, standard_uncertainty=standard_uncertainty, highest=limit
    )
    assert_allclose(above, false_accept, atol=0.0005)  # printed to a tenth of a percent


def test_the_rule_changes_the_finding_near_the_limit() -> None:
    # Undercut of 0.32 mm against 0.5 mm with u = 0.10 mm: 0.52 against 0.486 with the guard band.
    found = {
        rule: decide(0.32, expanded_uncertainty=0.20, limit=0.5, rule=rule) for rule in DecisionRule
    }
    assert found == {
        DecisionRule.FULL: Finding.UNDECIDED,
        DecisionRule.NINETY_FIVE: Finding.WITHIN,
    }
    probability = conformity_probability(0.32, standard_uncertainty=0.10, highest=0.5)
    assert_allclose(probability, norm.cdf(1.8), rtol=1e-12)
