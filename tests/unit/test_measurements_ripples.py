"""Ripples of drawn faces: what must always hold, and what is refused."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from beadcheck.beadmap import Axis, BeadMap
from beadcheck.coupon import Shape
from beadcheck.measurements.lean import lean_along
from beadcheck.measurements.ripple_spacing import ripple_quantities
from beadcheck.measurements.ripples import Ripples, find_ripples
from beadcheck.quantity import Component, NotMeasured, Quantity, Scope, Statistic
from beadcheck.surface import Points
from beadcheck.units import Unit

Floats = NDArray[np.float64]
HALF_MM = 4.0
CROWN_MM = 1.2


class Seen:
    """A plate or pipe under a camera above `foot_mm`, as far away as told."""

    px_per_mm, tilt_deg, residual_px = 12.0, 5.0, 0.1

    def __init__(
        self,
        *,
        distance_mm: float = 1.0e6,
        foot_mm: tuple[float, float] = (20.0, 3.0),
        outside_diameter_mm: float | None = None,
        blur_px: float = 1.0,
    ) -> None:
        self.distance_mm, self.foot_mm, self.blur_px = distance_mm, foot_mm, blur_px
        self.outside_diameter_mm = outside_diameter_mm
        self.shape = Shape.PLATE if outside_diameter_mm is None else Shape.PIPE

    def lean(self, points_mm: Points) -> Points:
        """How far a point raised by 1 mm seems shifted, along and across."""
        off = points_mm - np.asarray(self.foot_mm)
        if self.outside_diameter_mm is None:
            return off / self.distance_mm
        radius_mm = 0.5 * self.outside_diameter_mm
        turn = off[:, 0] / radius_mm
        eye_mm = radius_mm + self.distance_mm
        above_mm = eye_mm * np.cos(turn) - radius_mm
        return np.stack([eye_mm * np.sin(turn) / above_mm, off[:, 1] / above_mm], axis=1)

    def to_px(self, points_mm: Points) -> Points:
        return points_mm * self.px_per_mm

    def to_mm(self, points_px: Points) -> Points:
        return points_px / self.px_per_mm

    def seen_at_deg(self, points_mm: Points) -> Floats:
        return 90.0 - np.degrees(np.arctan(np.hypot(*self.lean(points_mm).T)))

    def clock_deg(self, points_mm: Points) -> Floats:
        return np.full(len(points_mm), np.nan)

    def distance_components(self, start_mm: Points, end_mm: Points) -> tuple[Component, ...]:
        del start_mm, end_mm
        return ()

    def target_outline_mm(self) -> tuple[Points, ...]:
        return ()


def face(
    crests_mm: Floats,
    *,
    length_mm: float = 50.0,
    px_per_mm: float = 12.0,
    contrast: float = 0.15,
    seed: int = 1,
    surface: Seen | None = None,
    mirrored: bool = False,
) -> BeadMap:
    """A bead about the line across = 0.3 mm whose brightness rises to every bowed crest."""
    s = np.arange(int(length_mm * px_per_mm) + 1) / px_per_mm
    across = np.arange(-int(6 * px_per_mm), int(6 * px_per_mm) + 1) / px_per_mm
    v = np.clip((across[:, None] - 0.3) / HALF_MM, -1, 1)
    on_base = np.broadcast_to(s, (across.size, s.size))
    if surface is not None:
        lean = surface.lean(np.stack([s, np.full(s.size, 0.3)], axis=1))[:, 0]
        raised = s + CROWN_MM * (1 - v**2) * lean
        on_base = np.stack([np.interp(s, row, s) for row in raised])
    phase = np.interp(on_base - 2.0 * v**2 - 0.2 * v, crests_mm, np.arange(crests_mm.size))
    part = phase - np.floor(phase)
    # Lobes that meet in sharp grooves, halfway between crests.
    light = 0.25 * np.exp(contrast * (np.abs(np.cos(np.pi * part)) - 0.64))
    noise = np.random.default_rng(seed).normal(0, 0.004, light.shape)
    coded = 255.0 * np.clip(light + noise, 0, 1) ** (1 / 2.2)
    grey = np.round(coded[:, ::-1] if mirrored else coded).astype(np.uint8)
    return BeadMap(
        bgr=np.repeat(grey[..., None], 3, axis=2),
        seen=np.ones(grey.shape, dtype=np.bool_),
        s_mm=s,
        across_mm=across,
        px_per_mm=px_per_mm,
        axis=Axis(origin_mm=(0.0, 0.0), direction=(1.0, 0.0), across=(0.0, 1.0)),
    )


def found(
    bead: BeadMap, surface: Seen | None = None, s_range_mm: tuple[float, float] | None = None
) -> Ripples | NotMeasured:
    return find_ripples(
        bead,
        surface or Seen(),
        left_across_mm=np.full(bead.s_mm.size, 0.3 - HALF_MM),
        right_across_mm=np.full(bead.s_mm.size, 0.3 + HALF_MM),
        s_range_mm=s_range_mm or (float(bead.s_mm[0]), float(bead.s_mm[-1])),
    )


def steady(spacing_mm: float, count: int = 120) -> Floats:
    return spacing_mm * np.arange(-10.0, count - 10.0) + 0.37


def jittered(spacing_mm: float, *, spread: float, seed: int) -> Floats:
    gaps = spacing_mm * (1 + spread * np.random.default_rng(seed).standard_normal(120))
    return np.cumsum(gaps) - 10 * spacing_mm


def by_statistic(ripples: Ripples | NotMeasured) -> dict[Statistic, Quantity]:
    assert isinstance(ripples, Ripples)
    return {quantity.statistic: quantity for quantity in ripple_quantities(ripples)}


def test_crests_lie_where_they_were_drawn_along_the_middle_of_the_bead() -> None:
    crests = jittered(1.4, spread=0.08, seed=3)
    ripples = found(face(crests))
    assert isinstance(ripples, Ripples)
    nearest = crests[np.abs(crests - ripples.s_mm[:, None]).argmin(axis=1)]
    # The brightest place of a drawn ripple is its crest; a tenth of a spacing is the pass band's.
    assert np.abs(ripples.s_mm - nearest).max() < 0.2 * 1.4
    assert_allclose(ripples.across_mm, 0.3)
    assert 32 <= ripples.s_mm.size <= 36


@given(
    spacing_mm=st.floats(0.8, 2.4),
    length_mm=st.floats(40.0, 60.0),
    px_per_mm=st.sampled_from([9.0, 12.0, 15.0]),
)
@settings(max_examples=12, deadline=None)
def test_the_mean_is_the_drawn_spacing_whatever_the_scale(
    spacing_mm: float, length_mm: float, px_per_mm: float
) -> None:
    bead = face(steady(spacing_mm), length_mm=length_mm, px_per_mm=px_per_mm)
    mean = by_statistic(found(bead))[Statistic.MEAN]
    assert abs(mean.value - spacing_mm) <= mean.expanded_uncertainty
    assert_allclose(mean.value, spacing_mm, rtol=0.01)
    assert mean.expanded_uncertainty < 0.08 * spacing_mm


def test_a_bead_seen_from_the_other_end_has_the_same_spacing() -> None:
    crests = jittered(1.4, spread=0.08, seed=5)
    there, back = (
        by_statistic(found(face(crests, mirrored=mirrored), s_range_mm=(4.0, 46.0)))
        for mirrored in (False, True)
    )
    for statistic, quantity in there.items():
        # One crest more or less at an end changes the statistics by this at most.
        assert_allclose(quantity.value, back[statistic].value, rtol=0.05)


def test_budgets_name_their_effects_and_hold_no_scale() -> None:
    quantities = by_statistic(found(face(jittered(1.4, spread=0.08, seed=6))))
    assert set(quantities) == set(Statistic) - {Statistic.TOTAL}
    for quantity in quantities.values():
        assert quantity.unit is Unit.MM
        assert quantity.count >= 30
        assert all(component.scope is not Scope.PRINT for component in quantity.budget)
        assert quantity.expanded_uncertainty > 0.0
    assert quantities[Statistic.MIN].value < quantities[Statistic.MEAN].value
    assert quantities[Statistic.MEAN].value < quantities[Statistic.MAX].value


def test_a_missing_ripple_shows_as_the_longest_gap() -> None:
    crests = np.delete(steady(1.5), 26)
    longest = by_statistic(found(face(crests)))[Statistic.MAX]
    # Brightness of the one wide lobe peaks in its middle or not at all: 2 spacings, or about 1.5.
    assert longest.value + longest.expanded_uncertainty >= 2.0 * 1.5 * 0.9
    assert longest.value > 1.25 * 1.5


@pytest.mark.parametrize("outside_diameter_mm", [None, 219.1])
def test_perspective_of_the_crown_is_within_its_stated_uncertainty(
    outside_diameter_mm: float | None,
) -> None:
    surface = Seen(distance_mm=170.0, outside_diameter_mm=outside_diameter_mm)
    bead = face(steady(1.4), surface=surface)
    ripples = found(bead, surface)
    mean = by_statistic(ripples)[Statistic.MEAN]
    assert isinstance(ripples, Ripples)
    seen_mm = float(np.diff(ripples.seen_s_mm).mean())
    assert seen_mm > 1.4 * 1.005
    assert abs(mean.value - 1.4) < abs(seen_mm - 1.4)
    assert abs(mean.value - 1.4) <= mean.expanded_uncertainty


@pytest.mark.parametrize("outside_diameter_mm", [None, 60.3])
def test_lean_along_the_weld_follows_from_the_angles_at_which_it_is_seen(
    outside_diameter_mm: float | None,
) -> None:
    surface = Seen(distance_mm=150.0, outside_diameter_mm=outside_diameter_mm)
    axis = Axis(origin_mm=(1.0, -2.0), direction=(1.0, 0.0), across=(0.0, 1.0))
    s_mm = np.linspace(-5.0, 40.0, 91)
    expected = surface.lean(axis.to_surface(s_mm, np.zeros(1)))[:, 0]
    # Exact but for the rounding of squares next to zero.
    assert_allclose(lean_along(surface, axis, s_mm), expected, atol=1e-5)


def test_a_face_without_ripples_gives_none() -> None:
    refused = found(face(steady(1.4), contrast=0.0))
    assert isinstance(refused, NotMeasured)
    assert "No regular ripples" in refused.reason


def test_an_even_grey_face_gives_none() -> None:
    bead = face(steady(1.4), contrast=0.0)
    even = BeadMap(
        bgr=np.full_like(bead.bgr, 90),
        seen=bead.seen,
        s_mm=bead.s_mm,
        across_mm=bead.across_mm,
        px_per_mm=bead.px_per_mm,
        axis=bead.axis,
    )
    assert isinstance(found(even), NotMeasured)


def test_scratches_across_the_bead_at_random_places_are_no_ripples() -> None:
    for seed in range(8):
        places = np.sort(np.random.default_rng(seed).uniform(-10, 70, 60))
        refused = found(face(places, seed=seed))
        assert isinstance(refused, NotMeasured)


def test_ripples_too_fine_for_the_photo_are_refused_with_the_pixels_needed() -> None:
    refused = found(face(steady(0.6, count=200), px_per_mm=10.0), Seen(blur_px=2.0))
    assert isinstance(refused, NotMeasured)
    assert "7 are needed" in refused.reason
    assert "Come closer" in refused.how_to


def test_a_short_piece_is_refused() -> None:
    refused = found(face(steady(1.4)), s_range_mm=(10.0, 10.5))
    assert isinstance(refused, NotMeasured)
    assert "Too little" in refused.reason


def test_a_bead_without_toes_is_refused() -> None:
    bead = face(steady(1.4))
    nowhere = np.full(bead.s_mm.size, np.nan)
    refused = find_ripples(
        bead, Seen(), left_across_mm=nowhere, right_across_mm=nowhere, s_range_mm=(0.0, 50.0)
    )
    assert isinstance(refused, NotMeasured)


def test_fewer_than_five_crests_are_refused() -> None:
    refused = found(face(steady(2.9)), s_range_mm=(10.0, 19.0))
    assert isinstance(refused, NotMeasured)


def test_only_the_longest_stretch_in_the_photo_is_used() -> None:
    bead = face(steady(1.4))
    seen = bead.seen.copy()
    seen[:, (bead.s_mm > 30.0) & (bead.s_mm < 31.0)] = False
    cut = BeadMap(
        bgr=bead.bgr,
        seen=seen,
        s_mm=bead.s_mm,
        across_mm=bead.across_mm,
        px_per_mm=bead.px_per_mm,
        axis=bead.axis,
    )
    ripples = found(cut)
    assert isinstance(ripples, Ripples)
    assert ripples.s_mm.max() < 30.0
    assert_allclose(by_statistic(ripples)[Statistic.MEAN].value, 1.4, rtol=0.01)
