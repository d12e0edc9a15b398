"""The decision keeps its promises for any numbers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadcheck.limits import DecisionRule, Finding, Sense, conformity_probability, decide

numbers = st.floats(-1e3, 1e3)
uncertainties = st.floats(0.0, 10.0)


@given(value=numbers, expanded=uncertainties, limit=numbers, rule=st.sampled_from(DecisionRule))
def test_at_least_mirrors_at_most(
    value: float, expanded: float, limit: float, rule: DecisionRule
) -> None:
    upper = decide(value, expanded_uncertainty=expanded, limit=limit, rule=rule)
    lower = decide(
        -value, expanded_uncertainty=expanded, limit=-limit, sense=Sense.AT_LEAST, rule=rule
    )
    assert upper is lower


@given(value=numbers, expanded=uncertainties, limit=numbers, more=st.floats(0.0, 100.0))
def test_a_larger_value_is_never_nearer_to_within(
    value: float, expanded: float, limit: float, more: float
) -> None:
    order = [Finding.WITHIN, Finding.UNDECIDED, Finding.OUTSIDE]
    first = decide(value, expanded_uncertainty=expanded, limit=limit)
    second = decide(value + more, expanded_uncertainty=expanded, limit=limit)
    assert order.index(second) >= order.index(first)


@given(value=numbers, expanded=uncertainties, limit=numbers, more=st.floats(0.0, 10.0))
def test_more_uncertainty_only_ever_leads_to_undecided(
    value: float, expanded: float, limit: float, more: float
) -> None:
    sure = decide(value, expanded_uncertainty=expanded, limit=limit)
    unsure = decide(value, expanded_uncertainty=expanded + more, limit=limit)
    assert unsure in {sure, Finding.UNDECIDED}


def test_without_uncertainty_nothing_is_undecided_and_the_limit_itself_is_within() -> None:
    assert decide(3.2, expanded_uncertainty=0.0, limit=3.2) is Finding.WITHIN
    assert decide(3.2000001, expanded_uncertainty=0.0, limit=3.2) is Finding.OUTSIDE
    assert conformity_probability(3.2, standard_uncertainty=0.0, highest=3.2) == 1.0
    assert conformity_probability(3.3, standard_uncertainty=0.0, highest=3.2) == 0.0


@given(
    value=numbers,
    expanded=uncertainties,
    limit=numbers,
    wide=st.floats(0.0, 50.0),
    rule=st.sampled_from(DecisionRule),
)
def test_between_two_limits_both_are_kept(
    value: float, expanded: float, limit: float, wide: float, rule: DecisionRule
) -> None:
    lowest = limit - wide
    both = decide(
        value,
        expanded_uncertainty=expanded,
        limit=limit,
        lowest=lowest,
        sense=Sense.BETWEEN,
        rule=rule,
    )
    sides = [
        decide(value, expanded_uncertainty=expanded, limit=at, sense=sense, rule=rule)
        for at, sense in ((limit, Sense.AT_MOST), (lowest, Sense.AT_LEAST))
    ]
    assert (both is Finding.OUTSIDE) is (Finding.OUTSIDE in sides)
    if both is Finding.WITHIN:
        assert sides == [Finding.WITHIN, Finding.WITHIN]
        conforming = conformity_probability(
            value, standard_uncertainty=0.5 * expanded, lowest=lowest, highest=limit
        )
        # One-sided risks of the two guard bands: 2.3 % and 4.9 %.
        assert conforming >= {DecisionRule.FULL: 0.977, DecisionRule.NINETY_FIVE: 0.951}[rule]


@given(
    value=numbers,
    expanded=uncertainties,
    limit=numbers,
    wide=st.floats(0.0, 50.0),
    more=st.floats(0.0, 10.0),
    rule=st.sampled_from(DecisionRule),
)
def test_between_two_limits_more_uncertainty_only_ever_leads_to_undecided(
    value: float, expanded: float, limit: float, wide: float, more: float, rule: DecisionRule
) -> None:
    sure, unsure = (
        decide(
            value,
            expanded_uncertainty=u,
            limit=limit,
            lowest=limit - wide,
            sense=Sense.BETWEEN,
            rule=rule,
        )
        for u in (expanded, expanded + more)
    )
    assert unsure in {sure, Finding.UNDECIDED}


@pytest.mark.parametrize("expanded", [-0.1, float("nan")])
def test_an_impossible_uncertainty_is_a_callers_mistake(expanded: float) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        decide(1.0, expanded_uncertainty=expanded, limit=2.0)
