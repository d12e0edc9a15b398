"""Where markers are sought: shrunken photos, parts of them, and what one reading predicts."""

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.target.catalogue import DICTIONARY, pipe_strip, plate_card
from beadcheck.target.design import Marker
from beadcheck.target.detect import (
    Candidate,
    Reading,
    best_reading,
    candidates,
    predicted_quads_px,
    seen_in,
    unread_parts,
)
from beadcheck.target.seam import along_wrap, turn_mm
from beadcheck.target.search import search_image

PX_PER_MM = 11.3
TURN = np.array([[0.96, 0.28], [-0.28, 0.96]])
SHIFT_PX = np.array([310.0, 460.0])


def in_photo(points_mm: np.ndarray) -> np.ndarray:
    return np.asarray(PX_PER_MM * points_mm @ TURN + SHIFT_PX)


def drawn(markers: list[Marker], size_px: tuple[int, int]) -> np.ndarray:
    """Flat photo of markers on grey paper."""
    kind = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))
    modules = kind.markerSize + 2
    photo = np.full((size_px[1], size_px[0]), 205, np.uint8)
    for marker in markers:
        picture = kind.generateImageMarker(marker.id, 40 * modules)
        edge = 40.0 * modules - 0.5
        corners = np.array([[-0.5, -0.5], [edge, -0.5], [edge, edge], [-0.5, edge]])
        lay = cv2.getPerspectiveTransform(
            corners.astype(np.float32), in_photo(marker.corners_mm).astype(np.float32)
        )
        ink = cv2.warpPerspective(picture, lay, size_px, borderValue=255, flags=cv2.INTER_AREA)
        photo[ink < 128] = 31
    return np.repeat(photo[:, :, None], 3, axis=2)


@pytest.fixture(scope="module", name="card_photo")
def _card_photo() -> np.ndarray:
    return drawn(list(plate_card().markers), (2357, 1743))


@pytest.mark.parametrize("long_side_px", [2400, 1200, 800])
def test_rough_corners_lie_where_the_whole_photo_shows_them(
    card_photo: np.ndarray, long_side_px: int
) -> None:
    image = search_image(card_photo, long_side_px)
    assert max(image.grey.shape) <= long_side_px
    truth = {marker.id: in_photo(marker.corners_mm) for marker in plate_card().markers}
    seen = candidates(image, DICTIONARY)
    assert {each.id for each in seen} == set(truth)
    for each in seen:
        # The detector errs by a pixel or so of its own picture, whichever way.
        assert_allclose(each.corners_px, truth[each.id], atol=1.5 * image.px_per_px)


def test_a_marker_that_was_missed_is_found_beside_those_that_were_read(
    card_photo: np.ndarray,
) -> None:
    design = plate_card()
    small = search_image(card_photo, 1200)
    seen = seen_in([small], [design])
    missed = design.markers[2].id
    few = {name: [each for each in found if each.id != missed] for name, found in seen.items()}
    parts = unread_parts(card_photo, small, best_reading(few, [design]))
    assert {part.px_per_px for part in parts} == {1, small.px_per_px}
    for part in parts:
        assert part.grey.size * part.px_per_px**2 < 0.3 * card_photo.shape[0] * card_photo.shape[1]
        (again,) = [each for each in candidates(part, DICTIONARY) if each.id == missed]
        expected = in_photo(design.markers[2].corners_mm)
        assert_allclose(again.corners_px, expected, atol=1.5 * part.px_per_px)


def test_nothing_more_is_searched_where_every_marker_was_read(card_photo: np.ndarray) -> None:
    small = search_image(card_photo, 1200)
    reading = best_reading(seen_in([small], [plate_card()]), [plate_card()])
    assert unread_parts(card_photo, small, reading) == []


def test_markers_beyond_a_strip_s_seam_are_expected_beside_it() -> None:
    design = pipe_strip(88.9)
    first, last = design.markers[0], design.markers[-1]
    reading = Reading(
        design=design,
        markers=(first,),
        candidates=(Candidate(id=first.id, corners_px=in_photo(first.corners_mm)),),
    )
    back_mm = last.corners_mm - along_wrap(design, turn_mm(design) or 0.0)
    assert_allclose(predicted_quads_px(reading)[last.id], in_photo(back_mm), atol=1e-6)
    second = design.markers[1]
    assert_allclose(predicted_quads_px(reading)[second.id], in_photo(second.corners_mm), atol=1e-6)
