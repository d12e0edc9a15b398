"""Toes placed by hand: snapped to a rendered edge, vouched for, and counted in the uncertainty.

The truth is that of the samples, which the renderer knows exactly (``samples/making``).
"""

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from beadcheck.pipeline import Request, measure, takes_of
from beadcheck.result import QuantityRecord, Result
from beadcheck.toes import HandToes
from beadcheck.toes.hand_lines import LinesFault, in_order, lines_fault

SAMPLES = Path(__file__).parents[2] / "samples"
STRINGER = SAMPLES / "plate-gmaw-stringer.jpg"
BARE = SAMPLES / "plate-no-weld.jpg"
TAPS_S_MM = (-42.0, -27.0, -11.0, 4.0, 19.0, 36.0, 48.0)
NOTHING = np.empty((0, 2))


@cache
def true_weld() -> dict[str, Any]:
    truth: dict[str, Any] = json.loads((SAMPLES / "truth" / f"{STRINGER.stem}.json").read_bytes())
    return truth["weld"]


def true_toes_px() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Places along the weld, and both toes there; the one called hi lies on the left."""
    toes = true_weld()["toes"]
    s_mm, hi, lo = (np.array(toes[key], float) for key in ("s_mm", "hi_px", "lo_px"))
    return s_mm, hi, lo


def taps(side: str, outward_widths: float, s_mm: tuple[float, ...] = TAPS_S_MM) -> np.ndarray:
    """Points along a true toe, each this part of the weld width outside it."""
    along, hi, lo = true_toes_px()
    at = [int(np.abs(along - s).argmin()) for s in s_mm]
    toe, other = (hi, lo) if side == "left" else (lo, hi)
    return toe[at] + outward_widths * (toe[at] - other[at])


@cache
def found() -> Result:
    return measure(Request(takes=takes_of((STRINGER,))))


def with_hand(left: np.ndarray = NOTHING, right: np.ndarray = NOTHING, **more: Any) -> Result:
    hand = HandToes(left_px=left.copy(), right_px=right.copy())
    request = Request(takes=takes_of((STRINGER,)), hand={STRINGER: hand})
    return measure(replace(request, **more))


def width(result: Result, statistic: str = "mean") -> QuantityRecord:
    (quantity,) = (
        each
        for each in result.quantities
        if (each.name, each.statistic) == ("weld_width", statistic)
    )
    return quantity


def hand_part(quantity: QuantityRecord) -> float:
    return sum(
        each.standard_uncertainty
        for each in quantity.budget
        if each.source == "toes placed by hand"
    )


def outward_mm(result: Result, side: str) -> np.ndarray:
    """How far outside the true toe the stations' toe lies where a person placed it."""
    _, hi, lo = true_toes_px()
    line, other = (hi, lo) if side == "left" else (lo, hi)
    points = [
        getattr(each, f"{side}_toe_px")
        for each in result.stations
        if getattr(each, f"{side}_placed_by_hand")
    ]
    px_per_mm = result.photos[0].px_per_mm
    assert px_per_mm is not None
    away = []
    for point in points:
        at = int(np.nanargmin(np.hypot(*(line - point).T)))
        out = (line[at] - other[at]) / np.hypot(*(line[at] - other[at]))
        away.append(float((np.array(point) - line[at]) @ out) / px_per_mm)
    return np.array(away)


def test_a_line_tapped_near_a_toe_snaps_onto_it() -> None:
    result = with_hand(left=taps("left", 0.04))
    away = outward_mm(result, "left")
    tapped_mm = 0.04 * true_weld()["width_mm"]["body_in_view"]["mean"]
    # The taps lie 0.34 mm outside; what is left is the tracer's own error.
    assert np.median(np.abs(away)) < 0.3 * tapped_mm
    assert_allclose(width(result).value, width(found()).value, atol=0.1)


def test_a_line_far_from_any_toe_stands_as_it_was_tapped() -> None:
    tapped_mm = 0.12 * true_weld()["width_mm"]["body_in_view"]["mean"]
    away = outward_mm(with_hand(left=taps("left", 0.12)), "left")
    # Between taps the line is straight where the true toe waves by a few tenths of a mm.
    assert_allclose(np.median(away), tapped_mm, atol=0.15)


def test_a_wrong_toe_is_brought_back_to_the_truth_by_taps() -> None:
    truth_mm = true_weld()["width_mm"]["body_in_view"]["mean"]
    wrong = with_hand(left=taps("left", 0.15))
    assert abs(width(wrong).value - truth_mm) > 0.8
    right = with_hand(left=taps("left", 0.02))
    mean = width(right)
    assert abs(mean.value - truth_mm) <= mean.expanded_uncertainty
    # And U stays of use: the finder's own is 0.28 mm.
    assert mean.expanded_uncertainty < 0.5


def test_the_result_says_which_toe_a_person_placed_and_where() -> None:
    result = with_hand(right=taps("right", 0.0, (-20.0, 14.0)))
    by_hand = [each for each in result.stations if each.right_placed_by_hand]
    assert len(by_hand) in {33, 34, 35}
    assert all(each.sure for each in by_hand)
    assert not any(each.left_placed_by_hand for each in result.stations)
    (notice,) = (each for each in result.photos[0].problems if each.code == "toes_by_hand")
    assert notice.message.startswith(f"A person placed {len(by_hand)} mm of the right toe")
    assert result.photos[0].usable
    assert not any(each.code == "toes_by_hand" for each in found().photos[0].problems)


@pytest.mark.parametrize(("statistic", "outward"), [("mean", 0.12), ("min", -0.12), ("max", 0.12)])
def test_toes_by_hand_widen_the_uncertainty_and_the_budget_names_them(
    statistic: str, outward: float
) -> None:
    plain = width(found(), statistic)
    snapped = width(with_hand(left=taps("left", 0.0)), statistic)
    tapped = width(with_hand(left=taps("left", outward), right=taps("right", outward)), statistic)
    assert hand_part(plain) == 0.0
    if statistic == "mean":  # the extreme stations may lie past the taps
        assert hand_part(snapped) > 0.0
    assert hand_part(tapped) > hand_part(snapped)
    assert tapped.expanded_uncertainty > plain.expanded_uncertainty


def test_toes_by_hand_alone_are_enough_where_no_weld_is_found() -> None:
    assert measure(Request(takes=takes_of((BARE,)))).photos[0].problems[0].code == "no_weld_found"
    x_px = np.linspace(1000.0, 1900.0, 4)
    line = np.stack([x_px, 1150.0 + 0.1 * x_px], axis=1)
    half = np.array([0.0, 70.0])
    lines = {"left": line - half, "right": line + half}

    def measured(**given: np.ndarray) -> Result:
        hand = HandToes(left_px=given.get("left", NOTHING), right_px=given.get("right", NOTHING))
        return measure(Request(takes=takes_of((BARE,)), hand={BARE: hand}))

    result = measured(**{side: points.copy() for side, points in lines.items()})
    assert result.photos[0].usable
    px_per_mm = result.photos[0].px_per_mm
    assert px_per_mm is not None
    across_mm = 140.0 * np.cos(np.arctan(0.1)) / px_per_mm
    mean = width(result)
    # The card is seen nearly square on, so pixels tell mm to a few per cent.
    assert abs(mean.value - across_mm) < 0.05 * across_mm + mean.expanded_uncertainty
    assert all(each.left_placed_by_hand and each.right_placed_by_hand for each in result.stations)
    wide = measured(left=line - 16.0 * half, right=line + half)
    assert wide.photos[0].problems[0].code == "hand_width"
    # A short piece is wider than it is long; it runs where its lines run all the same.
    short = [np.array([[1250.0, y], [1560.0, y + 31.0]]) for y in (1100.0, 1500.0)]
    assert measured(left=short[0], right=short[1]).photos[0].usable
    alone = measured(left=lines["left"].copy())
    assert alone.photos[0].problems[0].code == "one_toe_alone"
    apart = measured(left=lines["left"][:2].copy(), right=lines["right"][2:].copy())
    assert apart.photos[0].problems[0].code == "toes_share_too_little"


def test_without_a_target_toes_by_hand_count_in_pixels() -> None:
    plain = measure(Request(takes=takes_of((STRINGER,)), without_target=True))
    result = with_hand(left=taps("left", 0.12), without_target=True)
    (notice,) = (each for each in result.photos[0].problems if each.code == "toes_by_hand")
    assert " px of the left toe" in notice.message
    means = [
        next(each for each in shown.quantities if (each.statistic, each.unit) == ("mean", "px"))
        for shown in (plain, result)
    ]
    assert_allclose(means[1].value / means[0].value, 1.1, atol=0.04)
    budgets = [{each.source: each.standard_uncertainty for each in mean.budget} for mean in means]
    assert "toes placed by hand" not in budgets[0]
    assert budgets[1]["toes placed by hand"] > 0.0
    # A person vouches for one of two toes, and that halves what the finder may have mistaken.
    finder = "weld finder, mean error in this light"
    assert budgets[1][finder] < budgets[0][finder]


def test_points_too_near_to_each_other_change_nothing_and_that_is_said() -> None:
    result = with_hand(left=taps("left", 0.0, (10.0, 10.2)))
    codes = [each.code for each in result.photos[0].problems]
    assert codes in (["toes_by_hand_unused"], ["toes_by_hand"])
    placed = sum(each.left_placed_by_hand for each in result.stations)
    assert placed == ("toes_by_hand" in codes)
    assert_allclose(width(result).value, width(found()).value, atol=0.02)


def test_the_names_only_group_the_points() -> None:
    left, right = taps("left", 0.0), taps("right", 0.0)
    straight, swapped = with_hand(left=left, right=right), with_hand(left=right, right=left)
    assert width(swapped) == width(straight)
    assert swapped.stations == straight.stations


def test_a_toe_far_from_the_weld_is_refused() -> None:
    result = with_hand(left=taps("left", 1.6))
    assert result.photos[0].problems[0].code == "toe_away_from_weld"


@given(turn=st.floats(-3.1, 3.1), scale=st.floats(0.5, 3.0), order=st.permutations(range(5)))
def test_whether_lines_cross_depends_on_neither_turn_nor_scale_nor_order(
    turn: float, scale: float, order: list[int]
) -> None:
    x = np.linspace(0.0, 800.0, 5)
    one, other = np.stack([x, 0.02 * x], axis=1), np.stack([x, 90.0 - 0.03 * x], axis=1)
    over = np.stack([x, 90.0 - 0.3 * x], axis=1)
    turned = scale * np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    move = [each @ turned for each in (one, other, over)]
    assert lines_fault(move[0][order], move[1]) is None
    assert lines_fault(move[0][order], move[2]) is LinesFault.CROSS
    assert lines_fault(move[0], move[0][order] + 1.0) in {LinesFault.SAME_TOE, LinesFault.CROSS}
    back = in_order(move[0][order])
    assert_allclose(np.abs(np.diff(back, axis=0)), np.abs(np.diff(move[0], axis=0)), atol=1e-6)


@pytest.mark.parametrize(
    "left",
    [
        NOTHING.copy(),
        np.array([[1.0, 2.0]]),
        np.array([[1.0, np.nan], [3.0, 4.0]]),
        np.array([[1.0, 2.0, 3.0], [1.0, 2.0, 4.0]]),
    ],
)
def test_points_that_make_no_toe_are_a_mistake(left: np.ndarray) -> None:
    with pytest.raises(ValueError, match="toe"):
        HandToes(left_px=left, right_px=NOTHING.copy())
