"""Inside a pipe: widths and arcs on the bore true, the clock mirrored, glancing views refused.

The geometry of the bore is written out here on its own: the axis stands one radius before the
metal, and paper bends about its middle, half its thickness inside the metal.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.coupon import Coupon, Shape, WeldPass
from beadcheck.errors.bore import BoreTooObliqueError
from beadcheck.quantity import combined_standard_uncertainty
from beadcheck.surface import PrintScale, in_target_frame, solve_surface
from beadcheck.surface.solved import FAR_TOE
from beadcheck.target.catalogue import bore_strip

from .conftest import Scene, turned

EXACT_PRINT = PrintScale(ratio=1.0, u_ratio=0.0)
THICKNESS_MM = 0.1


@dataclass(frozen=True, kw_only=True)
class BoreScene(Scene):
    """A strip in a bore of `radius_mm`, seen from inside."""

    @property
    def coupon(self):
        return inside_of(2.0 * self.radius_mm)

    def _wrapped(self, x, y, height_mm):
        angle = x / self.radius_mm
        from_axis = self.radius_mm - height_mm
        return np.stack(
            [from_axis * np.sin(angle), y, from_axis * np.cos(angle) - self.radius_mm], axis=-1
        )

    def printed(self, printed_mm, piece=0):  # noqa: ARG002  # one piece
        laid = turned(np.asarray(printed_mm, float) - self.middle_mm, math.radians(0.3))
        x, y = laid.T
        on_metal = self.radius_mm / (self.radius_mm - 0.5 * THICKNESS_MM)
        return self._wrapped(x * on_metal, y, np.full_like(x, THICKNESS_MM))

    def _seen(self, marker):
        corners, space = self.corners_px(marker), self.printed(marker.corners_mm)
        eye = -self.rotation.T @ self.translation
        inward = np.array([0.0, 0.0, -self.radius_mm]) - space
        inward[:, 1] = 0.0
        sight = eye - space
        sine = (inward * sight).sum(axis=1)
        sine /= np.linalg.norm(inward, axis=1) * np.linalg.norm(sight, axis=1)
        inside = (corners > 12).all() and (corners < np.array(self.size_px) - 12).all()
        return bool(inside and sine.min() > 0.35)


def inside_of(bore_mm):
    return Coupon(
        shape=Shape.PIPE,
        outside_diameter_mm=bore_mm + 20.62,
        wall_thickness_mm=10.31,
        weld_pass=WeldPass.ROOT_SIDE,
    )


def a_bore(bore_mm, **changes):
    """Looking from beyond the open end at clock 10 of a strip, 35 degrees off square."""
    strip = bore_strip(bore_mm, thickness_mm=THICKNESS_MM)
    look_at = (14.0 + math.pi * bore_mm / 6.0, 4.0)
    view = {"tilt_deg": 35.0, "tilt_towards_deg": 0.0, "roll_deg": 5.0, "look_at_mm": look_at}
    return BoreScene(design=strip, radius_mm=0.5 * bore_mm, **(view | changes))


@pytest.mark.parametrize("bore_mm", [102.26, 198.48])
def test_widths_and_arcs_on_the_bore_are_true_and_within_their_uncertainty(bore_mm):
    # NPS 4 SCH 40 and NPS 8 SCH 60 by ASME B36.10M.
    generator = np.random.default_rng(1187)
    widths, arcs, covered = [], [], []
    for _ in range(8):
        scene = a_bore(
            bore_mm,
            tilt_towards_deg=generator.uniform(-25.0, 25.0),
            focal_error=generator.normal() * 0.03,
            px_per_mm=9.0,
            # At 6 o'clock, as far from the seam as can be: nothing here unrolls a strip.
            look_at_mm=(14.0 + 0.5 * math.pi * bore_mm, 4.0),
        )
        surface = solve_surface(scene.found(generator), scene.dark_photo, scene.coupon, EXACT_PRINT)
        assert surface.outside_diameter_mm is None
        assert_allclose(surface.bore_mm, bore_mm, rtol=0.012)
        arc = 0.2 * scene.radius_mm
        pairs = np.array([[[2.0, -10.0], [1.0, -17.0]], [[-arc, -8.0], [arc, -8.0]]])
        for ends, errors in zip(pairs + scene.middle_mm, (widths, arcs), strict=True):
            seen = surface.to_mm(scene.metal_px(ends))
            assert_allclose(surface.to_px(seen), scene.metal_px(ends), atol=1e-6)
            error = np.hypot(*(seen[1] - seen[0])) - np.hypot(*(ends[1] - ends[0]))
            budget = surface.distance_components(seen[:1], seen[1:])
            covered.append(abs(error) <= 2.0 * combined_standard_uncertainty(budget))
            errors.append(error / np.hypot(*(ends[1] - ends[0])))
    assert np.sqrt(np.mean(np.square(widths))) <= 0.006
    assert np.sqrt(np.mean(np.square(arcs))) <= 0.006
    assert sum(covered) >= 14  # of 16; 95 % less a binomial deviation


def test_seen_from_the_open_end_the_clock_is_mirrored_along_the_strip():
    generator = np.random.default_rng(5)
    scene = a_bore(198.48, tilt_towards_deg=0.0)
    surface = solve_surface(scene.found(generator), scene.dark_photo, scene.coupon, EXACT_PRINT)
    # The middle of the view lies a sixth of a turn along the strip from its 12 o'clock line: the
    # strip's x runs to 10 o'clock, as hours on its outside would run to 2.
    place = surface.to_mm(scene.metal_px(scene.middle_mm[None]))
    assert_allclose(surface.clock_deg(place), 300.0, atol=0.3)
    further = surface.to_mm(scene.metal_px(scene.middle_mm[None] + [10.0, 0.0]))
    assert_allclose(
        surface.clock_deg(place) - surface.clock_deg(further),
        360.0 * 10.0 / (math.pi * 198.48),
        atol=0.05,
    )
    along = in_target_frame(surface, np.vstack([place, further]))
    assert_allclose(np.diff(along[:, 0]), 10.0, atol=0.05)


def test_heights_stand_toward_the_axis_and_come_back():
    generator = np.random.default_rng(9)
    scene = a_bore(198.48)
    surface = solve_surface(scene.found(generator), scene.dark_photo, scene.coupon, EXACT_PRINT)
    places = scene.middle_mm + np.array([[-20.0, -9.0], [0.0, -12.0], [31.0, -4.0]])
    heights = np.array([0.0, 1.6, -0.4])
    back, height = surface.over_surface(surface.in_space(places, heights))
    assert_allclose(back, places, atol=1e-9)
    assert_allclose(height, heights, atol=1e-9)
    # Twice as high, nearer to the axis by as much.
    axis = surface.in_space(places[:1], 0.5 * surface.bore_mm)[0]
    apart = np.linalg.norm(surface.in_space(places[:1], 1.6)[0] - axis)
    assert_allclose(apart, 0.5 * surface.bore_mm - 1.6, atol=1e-9)


def test_a_root_looked_at_aslant_is_surer_along_the_weld_than_across():
    generator = np.random.default_rng(9)
    scene = a_bore(198.48)
    surface = solve_surface(scene.found(generator), scene.dark_photo, scene.coupon, EXACT_PRINT)
    middle = scene.middle_mm[None]
    across, along = (
        {each.source: each.standard_uncertainty for each in budget}[FAR_TOE]
        for budget in (
            surface.distance_components(middle, middle + np.array([0.0, -5.0])),
            surface.distance_components(middle, middle + np.array([5.0, 0.0])),
        )
    )
    # 35 degrees off square is 55 degrees to the surface: a third less than at 45.
    assert_allclose(across, 0.3 / math.sqrt(3.0) / math.tan(math.radians(55.0)), rtol=0.1)
    assert along == pytest.approx(0.0, abs=1e-12)


def test_a_glancing_view_into_the_bore_is_refused_with_what_to_do():
    generator = np.random.default_rng(2)
    scene = a_bore(102.26, tilt_deg=66.0, px_per_mm=9.0)
    with pytest.raises(BoreTooObliqueError, match=r"at 2\d° .*1\.7 times its bore"):
        solve_surface(scene.found(generator), scene.dark_photo, scene.coupon, EXACT_PRINT)


def test_a_bore_by_its_wall_is_known_less_well_than_one_that_was_measured():
    coupon = inside_of(198.48)
    measured = replace(coupon, bore_mm=198.2)
    assert_allclose(coupon.strip_diameter_mm, 198.48)
    assert measured.strip_diameter_mm == 198.2
    # 1 % of the outside diameter, and 12.5 % of each wall, both rectangular.
    by_wall = math.hypot(0.01 * 219.1, 2.0 * 0.125 * 10.31) / math.sqrt(3.0) / 198.48
    assert_allclose(coupon.u_strip_diameter_ratio, by_wall)
    assert_allclose(measured.u_strip_diameter_ratio, 0.01 / math.sqrt(3.0))
