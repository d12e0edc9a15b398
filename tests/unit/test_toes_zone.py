"""Which part of the overview the finder is asked about."""

import numpy as np

from beadcheck.toes.zone import CONTEXT_PX, part_to_ask


def test_the_opening_is_asked_about_with_some_paper_around_it() -> None:
    zone = np.zeros((310, 420), dtype=np.bool_)
    zone[97:181, 33:402] = True
    assert part_to_ask(zone) == (
        slice(97 - CONTEXT_PX, 181 + CONTEXT_PX),
        slice(33 - CONTEXT_PX, 402 + CONTEXT_PX),
    )


def test_corners_beside_slanting_paper_are_left_out() -> None:
    rows, columns = np.mgrid[0:310, 0:420]
    opening = (rows > 120) & (rows < 190)
    corner = 2 * columns + rows < 100  # 50 of 420 columns wide at the top
    rows_asked, columns_asked = part_to_ask(opening | corner)
    assert rows_asked == slice(121 - CONTEXT_PX, 190 + CONTEXT_PX)
    assert columns_asked.start == 0
    assert columns_asked.stop >= 420


def test_all_of_a_map_is_asked_about_where_nothing_is_left_of_the_zone() -> None:
    assert part_to_ask(np.zeros((37, 61), dtype=np.bool_)) == (slice(0, 37), slice(0, 61))
