"""Spots and their sizes against scikit-image, an independent library (0.26, run here).

`skimage.feature.blob_log` finds blobs in the same picture by the Laplacian of a Gaussian;
`skimage.measure.regionprops` gives the axes of the ellipse with a region's second moments.
"""

import cv2
import numpy as np
import pytest
from skimage.feature import blob_log
from skimage.measure import label, regionprops

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.indications.levelled import LevelMap
from beadcheck.indications.size import spot_outline
from beadcheck.indications.spots import dark_spots

PX_PER_MM = 10.0
PLACES_MM = ((7.3, -1.4, 0.35), (16.8, 1.1, 0.5), (26.1, -0.3, 0.72), (36.6, 0.9, 0.5))
"""Along, across, radius."""


def metal(shape):
    """Smooth weld metal: an even grey with a slow slope and a little noise."""
    rng = np.random.default_rng(11)
    return 150.0 + np.linspace(-15.0, 15.0, shape[1]) + rng.normal(0.0, 1.5, shape)


@pytest.fixture(scope="module")
def level():
    s_mm = np.arange(0.0, 44.0, 1.0 / PX_PER_MM)
    across_mm = np.arange(-6.0, 6.0, 1.0 / PX_PER_MM)
    grey = metal((across_mm.size, s_mm.size))
    for s, across, radius in PLACES_MM:
        inside = np.hypot(s_mm - s, across_mm[:, None] - across) < radius
        grey *= 1.0 - 0.6 * cv2.GaussianBlur(inside.astype(np.float64), (0, 0), 1.2)
    face = np.broadcast_to(np.abs(across_mm)[:, None] < 3.6, grey.shape)
    return LevelMap(
        light=np.log(grey + 12.0).astype(np.float32),
        s_mm=s_mm,
        across_mm=across_mm,
        left_mm=np.full(s_mm.size, -4.0),
        right_mm=np.full(s_mm.size, 4.0),
        face=face,
        base=~face,
        px_per_mm=PX_PER_MM,
    )


def test_the_same_spots_are_found_as_by_the_laplacian_of_a_gaussian(level):
    on_face, on_base = dark_spots(level)
    assert on_base == []
    blobs = blob_log(
        -level.light.astype(np.float64), min_sigma=1.7, max_sigma=7.5, num_sigma=12, threshold=0.15
    )
    assert len(on_face) == len(blobs) == len(PLACES_MM)
    for row, column, sigma in blobs:
        away = [np.hypot(each.row - row, each.column - column) for each in on_face]
        spot = on_face[int(np.argmin(away))]
        assert min(away) <= 1.5  # px: both take the nearest pixel, at scales of their own
        # The scales tried here stand 1.4 apart.
        assert spot.radius_mm == pytest.approx(sigma * np.sqrt(2.0) / PX_PER_MM, rel=0.45)


@pytest.mark.parametrize(("along", "across"), [(1.2, 0.8), (0.7, 0.7), (1.6, 1.1)])
def test_a_spot_has_the_axes_of_the_ellipse_with_its_second_moments(along, across):
    px_per_mm = 17.0
    s_mm = np.arange(0.0, 12.0, 1.0 / px_per_mm)
    across_mm = np.arange(-4.0, 4.0, 1.0 / px_per_mm)
    inside = ((s_mm - 6.1) / along) ** 2 + ((across_mm[:, None] - 0.4) / across) ** 2 < 0.25
    cover = cv2.GaussianBlur(inside.astype(np.float64), (0, 0), 1.4)
    grey = np.round(150.0 * (1.0 - 0.7 * cover)).astype(np.uint8)
    bead = BeadMap(
        bgr=np.repeat(grey[..., None], 3, axis=2),
        seen=np.ones(grey.shape, dtype=bool),
        s_mm=s_mm,
        across_mm=across_mm,
        px_per_mm=px_per_mm,
        axis=Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
    )
    outline = spot_outline(bead, 6.1, 0.4, 0.25 * (along + across))
    (region,) = regionprops(label(grey < 150.0 * (1.0 - 0.5 * 0.7)))
    axes = sorted((outline.size.along_mm, outline.size.across_mm))
    # The darkest fifth of the middle stands for the spot's darkness: a level or two of grey.
    expected = (region.axis_minor_length, region.axis_major_length)
    assert np.allclose(axes, np.array(expected) / px_per_mm, atol=0.5 / px_per_mm)
    assert outline.is_round
    assert abs(outline.size.along_mm - along) <= 2.0 * outline.size.u_along_mm
    assert abs(outline.size.across_mm - across) <= 2.0 * outline.size.u_across_mm
