"""Two answers for one toe, weighed."""

import numpy as np
import pytest

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.toes.follow import FollowedWeld
from beadcheck.toes.joined import DISAGREEMENT, joined_toes
from beadcheck.toes.place import PlacedToe
from beadcheck.toes.trace import TracedToe, TracedWeld

COLUMNS = 60


def followed(
    *, traced_mm: float, placed_mm: float, doubt_mm: float, softness_mm: float
) -> FollowedWeld:
    """A level weld whose right toe has two answers, and whose left toe has one twice."""
    s_mm = 0.5 * np.arange(COLUMNS)
    full = np.ones(COLUMNS)

    def traced(place: float) -> TracedToe:
        return TracedToe(
            across_mm=place * full, softness_mm=softness_mm * full, contrast=0.9 * full
        )

    def placed(place: float) -> PlacedToe:
        return PlacedToe(
            across_mm=place * full,
            doubt_mm=doubt_mm * full,
            moved_mm=0.0 * full,
            hand_u_mm=0.0 * full,
        )

    across_mm = np.linspace(-12.0, 12.0, 49)
    bead = BeadMap(
        bgr=np.zeros((49, COLUMNS, 3), np.uint8),
        seen=np.ones((49, COLUMNS), dtype=bool),
        s_mm=s_mm,
        across_mm=across_mm,
        px_per_mm=2.0,
        axis=Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
    )
    weld = TracedWeld(
        s_mm=s_mm,
        left=traced(-4.0),
        right=traced(traced_mm),
        middle_likelihood=full,
        seen=np.ones(COLUMNS, dtype=bool),
        core_mm=(0.0, 29.5),
        width_mm=8.0,
        likelihood=np.zeros((49, COLUMNS), np.float32),
        across_mm=across_mm,
    )
    return FollowedWeld(bead=bead, traced=weld, left=placed(-4.0), right=placed(placed_mm))


def test_answers_that_agree_stay_and_are_doubted_less() -> None:
    weld = followed(traced_mm=4.0, placed_mm=4.0, doubt_mm=0.3, softness_mm=0.5)
    joined = joined_toes(weld)
    np.testing.assert_allclose(joined.right.across_mm, 4.0)
    assert (joined.right.doubt_mm < weld.right.doubt_mm).all()


@pytest.mark.parametrize(("doubt_mm", "nearer"), [(0.05, "placed"), (1.5, "traced")])
def test_the_surer_answer_counts_more(doubt_mm: float, nearer: str) -> None:
    weld = followed(traced_mm=4.6, placed_mm=4.0, doubt_mm=doubt_mm, softness_mm=0.5)
    place = float(joined_toes(weld).right.across_mm[0])
    assert 4.0 < place < 4.6
    assert (place < 4.3) == (nearer == "placed")


def test_answers_that_differ_are_doubted_by_how_far() -> None:
    weld = followed(traced_mm=5.5, placed_mm=4.0, doubt_mm=0.1, softness_mm=0.5)
    joined = joined_toes(weld)
    assert (joined.right.doubt_mm >= DISAGREEMENT * 1.5).all()
    np.testing.assert_allclose(joined.left.across_mm, -4.0)
