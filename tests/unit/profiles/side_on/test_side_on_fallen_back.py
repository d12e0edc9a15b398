"""What lies further in than both its neighbours, and is seen apart from them, is no outline."""

import re

import numpy as np
import pytest

from beadcheck.errors.profile_side_on import OutlineFallsBackError
from beadcheck.profiles.side_on.edge import OutlineEdge
from beadcheck.profiles.side_on.fallen_back import require_outermost

WELD_MM = (-2.5, 6.5)
ALONG_MM = np.linspace(-9.0, 11.0, 401)


def outline(height_mm, *unseen_mm):
    """An outline that is not seen from one place to another, as often as is said."""
    u_px = np.full(ALONG_MM.size, 0.1)
    for low_mm, high_mm in unseen_mm:
        u_px[(low_mm < ALONG_MM) & (high_mm > ALONG_MM)] = np.nan
    return OutlineEdge(
        points_px=np.column_stack([20.0 * ALONG_MM, -20.0 * height_mm]),
        u_px=u_px,
        along_mm=ALONG_MM,
        height_mm=height_mm,
        blur_px=1.2,
        mean_px=1.5,
    )


def cap_mm(crown_mm):
    return crown_mm * np.maximum(1.0 - ((ALONG_MM - 2.0) / 4.5) ** 2, 0.0)


@pytest.mark.parametrize("crown_mm", [2.4, -1.1])
def test_a_crown_or_a_hollow_with_gaps_in_its_flanks_is_an_outline(crown_mm):
    require_outermost(outline(cap_mm(crown_mm), (-1.6, -1.2), (3.0, 3.2)), WELD_MM)


def test_a_crown_whose_flanks_are_not_seen_is_an_outline():
    require_outermost(outline(cap_mm(2.4), (-2.0, -0.7), (4.7, 6.2)), WELD_MM)


def test_the_edge_of_a_ripple_inside_a_crown_is_none():
    inside_mm = np.where(np.abs(ALONG_MM - 2.0) < 1.5, cap_mm(2.4) - 1.3, cap_mm(2.4))
    with pytest.raises(OutlineFallsBackError, match=re.escape("lies 1.1 mm further in")) as refused:
        require_outermost(outline(inside_mm, (0.1, 0.7), (3.3, 3.9)), WELD_MM)
    assert refused.value.seen_mm == pytest.approx(2.6, abs=0.1)


def test_a_hollow_whose_walls_are_not_seen_cannot_be_told_from_it():
    with pytest.raises(OutlineFallsBackError):
        require_outermost(outline(cap_mm(-1.4), (-2.6, -0.6), (4.4, 6.8)), WELD_MM)


def test_what_lies_further_in_without_a_gap_is_seen_to_be_there():
    dip_mm = cap_mm(2.4) - 0.7 * np.exp(-(((ALONG_MM - 2.0) / 0.5) ** 2))
    require_outermost(outline(dip_mm), WELD_MM)
