"""A printed target serves as a board: one rigid piece of it, by its markers' edges."""

from pathlib import Path

import numpy as np
import pytest

from beadcheck.camera.card import Card
from beadcheck.coupon import Coupon
from beadcheck.errors.target import NoMarkerError
from beadcheck.photo import read_photo
from beadcheck.target.catalogue import default_targets, plate_strips

SAMPLES = Path(__file__).parents[3] / "samples"
CARD = Card(designs=default_targets(Coupon()))


def test_of_two_strips_only_one_counts_for_they_may_lie_anyhow():
    view = CARD.view(read_photo(SAMPLES / "plate-gmaw-dim-shop.jpg"))
    pieces = {
        marker.piece
        for marker in plate_strips().markers
        if (marker.corners_mm[0] == view.start_mm).all(axis=1).any()
    }
    assert len(pieces) == 1
    assert np.ptp(view.board_mm[:, 1]) < 12.5
    assert np.ptp(view.board_mm[:, 0]) > 60.0
    np.testing.assert_allclose(np.hypot(*view.normals_px.T), 1.0)


def test_a_photo_without_a_target_is_refused_as_in_measuring():
    with pytest.raises(NoMarkerError):
        CARD.view(read_photo(SAMPLES / "plate-smaw-no-target.jpg"))
