"""Side-on photos of invented pipes: heights true within their uncertainty, or a clear refusal."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.errors.profile_side_on import (
    OutlineBlurredError,
    OutlineNotInPictureError,
    OutlineNotVisibleError,
    SideOnOfPlateError,
    TooLittleBarePipeError,
    TooObliqueToSectionError,
    WeldNotOnOutlineError,
)
from beadcheck.photo import Lens, Photo, PhotoKind
from beadcheck.profiles.side_on import side_on_profile
from beadcheck.profiles.side_on.limb import LimbView

SMALL = {"size_px": (940, 400), "focal_px": 2300.0}


def dip(across_mm):
    return np.where(np.abs(across_mm) < 5.0, -1.4 * np.cos(np.pi * across_mm / 10.0), 0.0)


def stepped(across_mm):
    bump = np.maximum(1.6 * (1.0 - (across_mm / 5.0) ** 2), 0.0)
    return bump + 0.9 * np.clip(0.5 + across_mm / 10.0, 0.0, 1.0)


def undercut(across_mm):
    """A cap 2 mm high with a groove of 0.5 mm by 1.4 mm beside its left toe."""
    bump = np.maximum(2.0 * (1.0 - (across_mm / 4.5) ** 2), 0.0)
    away = np.abs(across_mm + 5.2)
    return bump - np.where(away < 0.7, 0.25 * (1.0 + np.cos(np.pi * away / 0.7)), 0.0)


def plain(light):
    return lambda x_px, y_px: np.full(np.broadcast(x_px, y_px).shape, light)


def blobs(x_px, y_px):
    return 0.35 + 0.12 * np.sin(x_px / 47.0) * np.cos(y_px / 31.0)


SCENES = {
    "bright background": {},
    "dark background, bright pipe": {
        "background": plain(0.01),
        "pipe_light": 0.3, "weld_light": 0.2, "side": -1, "roll_deg": -5.0,
    },
    "patterned background, small pipe": {"background": blobs, "radius_mm": 30.15},
    "hollow root": {"height_mm": dip, "radius_mm": 84.15, "noise": 0.01},
}  # fmt: skip


def expanded(profile, place):
    """Expanded uncertainty of one height over the base, all but the base line's own fit in it."""
    height_mm = profile.height_mm[place]
    parts = [part.standard_uncertainty for part in profile.form_budget]
    parts += [part.standard_uncertainty * height_mm for part in profile.gain_budget]
    return 2.0 * np.hypot.reduce([profile.u_height_mm[place], *parts])


@pytest.mark.parametrize("changes", SCENES.values(), ids=SCENES)
def test_crest_is_true_within_its_uncertainty(make_side_on, changes):
    generator = np.random.default_rng(len(changes) + 31)
    scene = make_side_on(**(SMALL | changes))
    profile = side_on_profile(scene.photo(generator), scene.surface(generator))
    fine_mm = np.linspace(-8.0, 8.0, 3201)
    true_mm = scene.height_mm(fine_mm)
    true_mm = true_mm[np.abs(true_mm).argmax()]
    place = int(np.nanargmax(np.abs(profile.height_mm)))
    assert abs(profile.height_mm[place] - true_mm) < expanded(profile, place) < 0.12
    assert profile.method.value == PhotoKind.SIDE_ON.value
    assert profile.crests


def test_profile_runs_to_the_right_as_the_strip_has_it_and_leaves_paper_out(make_side_on):
    scene = make_side_on(**SMALL, height_mm=lambda across: np.where(
        np.abs(across) < 4.0, 0.25 * (across + 4.0) * np.sqrt(np.maximum(1 - across / 4.0, 0)), 0.0
    ))  # fmt: skip
    profile = side_on_profile(scene.photo(np.random.default_rng(2)), scene.surface())
    crest_mm = profile.across_mm[np.nanargmax(profile.height_mm)]
    # The weld leans to growing y of the surface, which is to the right facing growing s.
    assert crest_mm > 0.5
    low_mm, high_mm = (edge - scene.weld_at_mm for edge in scene.paper_mm)
    on_paper = (profile.across_mm > low_mm) & (profile.across_mm < min(high_mm, 13.0))
    assert on_paper.sum() > 10
    assert np.isnan(profile.height_mm[on_paper]).all()
    assert_allclose(profile.s_mm, scene.arc_mm, atol=1.0)  # the lens stands 1.5 mm off the tangent
    assert profile.clock_deg is not None
    assert_allclose(profile.clock_deg, scene.tangent_deg, atol=1.0)


def test_points_lie_on_the_outline_in_the_photo(make_side_on):
    scene = make_side_on(**SMALL)
    profile = side_on_profile(scene.photo(np.random.default_rng(4)), scene.surface())
    seen = np.isfinite(profile.height_mm)
    over_mm, _ = scene.clearance_mm(profile.points_px[seen])
    # 0.05 mm is half a pixel here; a few points at the toes' corners are rounded by the blur.
    assert np.quantile(np.abs(over_mm), 0.98) < 0.05


def test_step_between_the_parts_stays_in_the_profile(make_side_on):
    generator = np.random.default_rng(6)
    scene = make_side_on(**SMALL, height_mm=stepped, paper_mm=(4.5, 20.0))
    profile = side_on_profile(scene.photo(generator), scene.surface(generator))
    left = np.nanmedian(profile.height_mm[profile.across_mm < -6.5])
    right = np.nanmedian(profile.height_mm[profile.across_mm > 6.5])
    # Fits on either side are good to 0.02 mm; the rest is the slope between their middles.
    assert_allclose(right - left, 0.9, atol=0.08)


def test_undercut_of_half_a_millimetre_shows_where_the_sight_is_square_on(make_side_on):
    generator = np.random.default_rng(9)
    scene = make_side_on(**SMALL, height_mm=undercut, aside_mm=-5.2, radius_mm=57.15)
    profile = side_on_profile(scene.photo(generator), scene.surface(generator))
    toe_mm = profile.near_toes_mm[0]
    near = np.abs(profile.across_mm - toe_mm) < 2.0
    depth_mm = -np.nanmin(profile.height_mm[near])
    # Blur and averaging over 1.5 px fill a groove of 1.4 mm by less than a tenth of its depth.
    assert 0.42 < depth_mm < 0.56


def test_the_edge_of_a_bench_close_behind_is_not_taken_for_the_outline(make_side_on):
    scene = make_side_on(**SMALL, pipe_light=0.3, weld_light=0.25)
    # Markers in full view tell the pose to a third of what the other scenes allow for.
    surface = replace(scene.surface(), covariance=0.1 * scene.surface().covariance)
    edge_px = LimbView(surface=surface, side=1).pixels(np.array([-30.0, 15.0]), np.full(2, 4.2))
    edge = np.polyfit(*edge_px.T, 1)

    def bench(x_px, y_px):
        return np.where(y_px < np.polyval(edge, x_px), 0.7, 0.08)

    generator = np.random.default_rng(14)
    photo = replace(scene, background=bench).photo(generator)
    profile = side_on_profile(photo, surface)
    assert_allclose(np.nanmax(profile.height_mm), 2.0, atol=0.1)


def test_obliquity_widens_the_envelope(make_side_on):
    generator = np.random.default_rng(10)
    envelopes = [
        side_on_profile(scene.photo(generator), scene.surface()).envelope_mm
        for scene in (make_side_on(**SMALL, aside_mm=aside_mm) for aside_mm in (0.0, 12.0))
    ]
    # R tan² psi with psi = 12/170 and half a weld's width, 4.5 mm, more at the farther toe.
    assert_allclose(envelopes[1], 57.15 * (16.5 / 170.0) ** 2, rtol=0.25)
    assert envelopes[0] < 0.2 * envelopes[1]


def test_plate_is_refused(make_side_on):
    surface = make_side_on(**SMALL).surface()
    plate = replace(surface, model=replace(surface.model, radius_mm=None))
    blank = Photo(file="a.png", pixels_bgr=np.zeros((400, 940, 3), np.uint8), lens=Lens())
    with pytest.raises(SideOnOfPlateError):
        side_on_profile(blank, plate)


REFUSED = {
    "no contrast": (
        OutlineNotVisibleError,
        {"background": plain(0.15), "pipe_light": 0.15, "weld_light": 0.15, "paper_mm": None},
    ),
    "outline above the picture": (OutlineNotInPictureError, {"look_aside_px": (0.0, 900.0)}),
    "no weld": (WeldNotOnOutlineError, {"height_mm": np.zeros_like}),
    "seen aslant": (TooObliqueToSectionError, {"aside_mm": 36.0, "focal_px": 1500.0}),
    "out of focus": (OutlineBlurredError, {"blur_px": 7.0}),
    "strip over the toe": (TooLittleBarePipeError, {"paper_mm": (-2.0, 15.0)}),
}  # fmt: skip


@pytest.mark.parametrize(("error", "changes"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_measured_is_refused_with_its_number(make_side_on, error, changes):
    scene = make_side_on(**(SMALL | changes))
    photo = scene.photo(np.random.default_rng(12))
    with pytest.raises(error) as refusal:
        side_on_profile(photo, scene.surface())
    assert any(letter.isdigit() for letter in refusal.value.reason)
    assert refusal.value.how_to
