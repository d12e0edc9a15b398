"""The outline is followed where a person sees it, and nowhere else."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.ndimage import gaussian_filter

from beadcheck.errors import ProfileError
from beadcheck.profiles.side_on import side_on_profile
from beadcheck.profiles.side_on.band import LimbBand
from beadcheck.profiles.side_on.cheapest_path import cheapest_path, crest_rows
from beadcheck.profiles.side_on.coarse import coarse_heights_mm
from beadcheck.profiles.side_on.colours import ColoursAlong, colours_along, planes_of
from beadcheck.profiles.side_on.evidence import step_squares
from beadcheck.profiles.side_on.trace import CLEAR_FROM, traced_outline

SMALL = {"size_px": (940, 400), "focal_px": 2300.0}


def mottled(light, depth):
    """A background with streaks and spots, about as bright as the metal."""
    spots = np.random.default_rng(3).normal(size=(400, 940))

    def background(x_px, y_px):
        streaks = np.sin((x_px + 0.6 * y_px) / 5.3) + np.sin(y_px / 19.0)
        return light + depth * (streaks + spots)

    return background


def test_an_outline_against_a_mottled_background_is_measured(make_side_on):
    generator = np.random.default_rng(21)
    scene = make_side_on(
        **SMALL, background=mottled(0.20, 0.012), pipe_light=0.15, weld_light=0.10, noise=0.008
    )
    profile = side_on_profile(scene.photo(generator), scene.surface(generator))
    crown_mm = np.nanmax(profile.height_mm)
    u_mm = float(np.nanmax(profile.u_height_mm[np.abs(profile.across_mm) < 2.0]))
    # The crown is 2 mm high; the largest of many noisy heights lies some u higher.
    assert_allclose(crown_mm, 2.0, atol=0.06 + 2.5 * u_mm)
    assert u_mm < 0.1
    assert np.isfinite(profile.height_mm[np.abs(profile.across_mm) < 2.0]).mean() > 0.6


@pytest.mark.parametrize("off_px", [150, -150])
def test_background_or_metal_alone_holds_no_outline(make_side_on, off_px):
    generator = np.random.default_rng(22)
    scene = make_side_on(
        **SMALL, background=mottled(0.20, 0.012), pipe_light=0.15, weld_light=0.10, paper_mm=None
    )
    photo = scene.photo(generator)
    # The picture slides off the pose by more than the band that is looked at.
    moved = replace(photo, pixels_bgr=np.roll(photo.pixels_bgr, off_px, axis=0))
    with pytest.raises(ProfileError):
        side_on_profile(moved, scene.surface())


def test_cheapest_path_follows_a_valley_no_steeper_than_allowed():
    columns = np.arange(90)
    valley = 20.0 + 9.0 * np.sin(columns / 13.0)
    cost = np.abs(np.arange(41)[:, None] - valley[None]).astype(np.float32)
    path = cheapest_path(cost, turn_cost=0.1, steepest=3)
    assert_allclose(path, valley, atol=1.0)  # whole rows, and turning costs
    assert np.abs(np.diff(cheapest_path(cost, turn_cost=0.0, steepest=0))).max() == 0


def test_crests_are_found_between_rows():
    rows, crest = np.arange(30)[:, None], 12.0 + 0.37 * np.sin(np.arange(50) / 4.0)
    response = (10.0 - (rows - crest[None]) ** 2).astype(np.float32)
    path = np.full(50, 13)
    assert_allclose(crest_rows(response, path), crest, atol=1e-3)  # float32


def test_colours_are_learnt_where_they_change_along_the_run():
    generator = np.random.default_rng(23)
    along = np.linspace(60.0, 140.0, 300)
    picture = np.repeat(along[None, :, None], 40, axis=0) + np.array([0.0, 15.0, -20.0])
    noise = generator.multivariate_normal(np.zeros(3), [[9, 6, 0], [6, 9, 0], [0, 0, 4]], (40, 300))
    planes = planes_of((picture + noise).astype(np.float32))
    inside = np.zeros((40, 300), dtype=bool)
    inside[5:25] = True
    colours = colours_along(planes, inside, near_px=15.0, wide_px=80.0)
    middle = slice(20, -20)
    # 15 columns of 20 pixels: means to 3 / sqrt(300); covariances of 1600 pixels to a twelfth.
    assert_allclose(colours.mean[:, middle].T, picture[0, middle], atol=1.2)
    assert_allclose(colours.covariance[150], [[10, 6, 0], [6, 10, 0], [0, 0, 5]], atol=2.0)
    other = ColoursAlong(mean=colours.mean + 12.0, covariance=colours.covariance)
    assert (colours.log_density(planes) > other.log_density(planes)).mean() > 0.9


def test_a_step_of_hue_stands_out_where_brightness_is_noisy():
    generator = np.random.default_rng(24)
    grey = 12.0 * generator.normal(size=(60, 400, 1)) + 0.7 * generator.normal(size=(60, 400, 3))
    picture = (90.0 + grey).astype(np.float32)
    picture[37:] += np.array([3.0, 0.0, -3.0], dtype=np.float32)
    calm = np.zeros((60, 400), dtype=bool)
    calm[:25] = True
    squares = step_squares(picture, 7, calm, px_per_mm=7.0)
    assert (squares[10:58].argmax(axis=0) + 10 == 37).mean() > 0.6
    assert np.median(squares[37]) > 8.0 * np.median(squares[:25])


def test_something_soft_and_dark_behind_the_weld_is_not_taken_for_metal():
    generator = np.random.default_rng(26)
    rows, columns = np.arange(98)[:, None], np.arange(640)
    height_mm = np.clip(2.0 * (1.0 - ((columns - 295.0) / 45.0) ** 2), 0.0, None)
    background = np.full((98, 640), 200.0)
    background[:45, 230:420] = 70.0
    noise = generator.normal(size=background.shape)
    background = gaussian_filter(background, 8.0) + noise
    metal = 70.0 + 28.0 * gaussian_filter(generator.normal(size=background.shape), 0.8)
    share = np.clip(rows - 7.0 * (9.0 - height_mm) + 0.5, 0.0, 1.0)
    grey = background * (1.0 - share) + metal * share
    band = LimbBand(
        bgr=np.repeat(grey[:, :, None], 3, axis=2).astype(np.float32),
        seen=np.ones(grey.shape, dtype=bool),
        first_along_mm=-45.0,
        top_mm=9.0,
        px_per_mm=7.0,
    )
    found_mm = coarse_heights_mm(band, np.zeros(640, dtype=bool), np.ones(640))
    assert (np.abs(found_mm - height_mm) < 0.5).mean() > 0.97


def test_a_mere_slope_of_light_is_clear_but_not_sharp():
    generator = np.random.default_rng(25)
    rows, columns = np.arange(98)[:, None], np.arange(640)
    width_px = np.where(columns < 320, 0.6, 7.0)  # metal that fades into the background
    share = np.clip(0.5 + (rows - 62.3) / (2.0 * width_px), 0.0, 1.0)
    grey = 118.0 - 30.0 * share + 5.0 * generator.normal(size=share.shape)
    band = LimbBand(
        bgr=np.repeat(grey[:, :, None], 3, axis=2).astype(np.float32),
        seen=np.ones(share.shape, dtype=bool),
        first_along_mm=-31.0,
        top_mm=9.0,
        px_per_mm=7.0,
    )
    line_mm = np.full(640, float(band.height_mm(np.array([62.3]))[0]))
    traced = traced_outline(band, line_mm, line_mm)
    assert_allclose(traced.height_mm[:310], line_mm[:310], atol=0.5 / 7.0)  # half a pixel
    assert (traced.clear >= CLEAR_FROM).mean() > 0.95
    assert (traced.sharp[:310] >= CLEAR_FROM).mean() > 0.95
    # By chance the best of some rows seems sharp here and there.
    assert (traced.sharp[330:] >= CLEAR_FROM).mean() < 0.5
