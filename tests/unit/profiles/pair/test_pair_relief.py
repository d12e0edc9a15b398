"""What is compared of two photos, what the network tells of it, and what of that is believed."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon
from beadcheck.finder import HEIGHTS_MM, likely_heights
from beadcheck.profiles.pair.comparison import comparison
from beadcheck.profiles.pair.layout import laid_out
from beadcheck.profiles.pair.relief import relief

HALF_LENGTH_MM = 24.0


def layout_of(views, plate):
    return laid_out(views, coupon=Coupon(), weld=plate.weld, toes=None)


@pytest.fixture(scope="module")
def layout(moved_across, plate):
    return layout_of(moved_across, plate)


@pytest.fixture(scope="module")
def planes(layout):
    return comparison(layout, *layout.casts)


@pytest.fixture(scope="module")
def crown(layout, plate):
    """The cells about the crown, and their true heights."""
    cells = layout.cells
    truth = plate.height(cells.s_mm[None, :] - HALF_LENGTH_MM, cells.across_mm[:, None])
    near = (np.abs(cells.across_mm) < 1.5)[:, None] & (np.abs(cells.s_mm - 24.0) < 18.0)
    return near, truth


@pytest.mark.parametrize("grain", [0, 1])
def test_photos_look_most_alike_at_the_true_height(planes, crown, grain):
    near, truth = crown
    alike = planes[grain * HEIGHTS_MM.size : (grain + 1) * HEIGHTS_MM.size]
    likeliest = HEIGHTS_MM[alike.argmax(axis=0)]
    # Half a step between heights, and what a window of 1.6 mm sees of a falling flank.
    assert abs(np.median((likeliest - truth)[near])) < 0.08
    assert np.quantile(np.abs(likeliest - truth)[near], 0.8) < 0.25


def test_both_looks_tell_the_same_of_plain_metal(planes, crown):
    near, truth = crown
    told = likely_heights(planes)
    assert told.height_mm.shape == planes.shape[1:]
    assert np.median(told.apart_mm[near]) < 0.08
    assert np.median(np.abs(told.height_mm - truth)[near]) < 0.1


def test_what_lies_higher_is_told_higher(planes, crown):
    """A network that told what is usual would not follow."""
    near, _ = crown
    raised = planes.copy()
    steps = 8
    for grain in (0, HEIGHTS_MM.size):
        raised[grain : grain + HEIGHTS_MM.size] = np.roll(
            planes[grain : grain + HEIGHTS_MM.size], steps, axis=0
        )
        raised[grain : grain + steps] = 0.0
    risen = likely_heights(raised).height_mm - likely_heights(planes).height_mm
    assert_allclose(np.median(risen[near]), steps * 0.12, atol=0.08)


def test_a_weld_that_does_not_look_alike_has_no_heights(plate, make_plate, moved_across):
    other = make_plate(seed=99).seen(7.0, -80.0, name="b.jpg")
    layout = layout_of((moved_across[0], other), plate)
    found = relief(layout)
    on_weld = layout.toes.between(layout.cells)
    assert np.isfinite(found.height_mm[on_weld]).mean() < 0.1


def test_paper_and_what_one_photo_alone_shows_have_no_heights(layout):
    found = relief(layout)
    known = np.isfinite(found.height_mm)
    assert not known[layout.covered].any()
    assert not known[~layout.shown].any()
    assert (np.isfinite(found.u_height_mm) == known).all()
