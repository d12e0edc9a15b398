"""Where the weld ends, and which stations are told to be unsure."""

import numpy as np
import pytest

from beadcheck.errors.bead import NoWeldFoundError
from beadcheck.toes.stations import weld_ends
from beadcheck.toes.trace import TracedToe, TracedWeld

PITCH_MM = 0.2
S_MM = np.arange(-12.0, 96.0, PITCH_MM)
WIDTH_MM = 7.0


def traced(likely: np.ndarray, seen: np.ndarray | None = None) -> TracedWeld:
    """A weld whose likelihood along its middle is given; it was located from 20 to 50 mm."""
    across = np.linspace(-10.0, 10.0, 101)
    toe = TracedToe(
        across_mm=np.zeros(S_MM.size),
        softness_mm=np.full(S_MM.size, 0.1),
        contrast=np.ones(S_MM.size),
    )
    return TracedWeld(
        s_mm=S_MM,
        left=toe,
        right=toe,
        middle_likelihood=likely,
        seen=np.ones(S_MM.size, dtype=bool) if seen is None else seen,
        core_mm=(20.0, 50.0),
        width_mm=WIDTH_MM,
        likelihood=np.tile(likely.astype(np.float32), (across.size, 1)),
        across_mm=across,
    )


def between(first: float, last: float) -> np.ndarray:
    return (first <= S_MM) & (last >= S_MM)


def test_a_weld_with_both_ends_in_view_ends_where_its_likelihood_does() -> None:
    first, last, ends = weld_ends(traced(0.9 * between(3.0, 71.0)))
    assert (first, last) == (pytest.approx(3.0, abs=1.0), pytest.approx(71.0, abs=1.0))
    assert ends == (True, True)


def test_a_weld_that_leaves_the_picture_has_no_end_there() -> None:
    seen = between(-12.0, 60.0)
    _first, last, ends = weld_ends(traced(0.9 * between(3.0, 96.0) * seen, seen))
    assert last == pytest.approx(60.0, abs=1.0)
    assert ends == (True, False)


def test_a_chalk_mark_does_not_end_the_weld_but_a_gap_of_two_widths_does() -> None:
    marked = 0.9 * (between(3.0, 80.0) & ~between(55.0, 58.0))
    assert weld_ends(traced(marked))[1] == pytest.approx(80.0, abs=1.0)
    parted = 0.9 * (between(3.0, 80.0) & ~between(53.0, 53.0 + 3.0 * WIDTH_MM))
    assert weld_ends(traced(parted))[1] == pytest.approx(53.0, abs=1.5)


def test_a_dim_weld_ends_where_it_falls_to_half_of_itself() -> None:
    first, last, _ = weld_ends(traced(0.45 * between(3.0, 71.0) + 0.05))
    assert (first, last) == (pytest.approx(3.0, abs=1.0), pytest.approx(71.0, abs=1.0))


def test_where_the_finder_sees_nothing_there_is_no_weld() -> None:
    with pytest.raises(NoWeldFoundError):
        weld_ends(traced(np.zeros(S_MM.size)))


def test_mean_likelihood_between_two_lines_is_the_area_over_the_width() -> None:
    weld = traced(0.8 * between(0.0, 80.0))
    start, end = np.full(S_MM.size, -2.3), np.full(S_MM.size, 4.1)
    mean = weld.mean_likelihood(start, end)
    assert mean[between(10.0, 70.0)] == pytest.approx(0.8, abs=1e-6)
