"""Two strips beside a weld: how one stands over the plane of the other, and what is made of it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest

from beadcheck.errors.surface import TargetLiftedError, WeldNotInTargetPlaneError
from beadcheck.surface import PrintScale, gates, solve_surface
from beadcheck.target.catalogue import plate_card, plate_strips

EXACT_PRINT = PrintScale(ratio=1.0, u_ratio=0.0)
FLAT = (0.0, 0.0, 0.0)
MOVES = ((1.0, 14.0, 0.02),)


@pytest.fixture(name="standing")
def _standing(make_scene) -> Callable[..., object]:
    """Scenes whose second piece stands at a height, and rises along x and y."""

    @dataclass(frozen=True, kw_only=True)
    class Standing(make_scene):
        stand: tuple[float, float, float] = FLAT

        def printed(self, printed_mm, piece=0):
            space = super().printed(printed_mm, piece)
            if piece == 0:
                return space
            own = [m.corners_mm for m in self.design.markers if m.piece == piece]
            corners = np.concatenate(own)
            local = np.asarray(printed_mm) - 0.5 * (corners.min(axis=0) + corners.max(axis=0))
            height_mm, rise_x, rise_y = self.stand
            space[:, 2] -= height_mm + local @ np.array([rise_x, rise_y])
            return space

    return Standing


def views(count):
    for seed in range(count):
        generator = np.random.default_rng(seed)
        yield (
            {
                "tilt_deg": generator.uniform(2.0, 25.0),
                "tilt_towards_deg": generator.uniform(0.0, 360.0),
                "roll_deg": generator.uniform(-180.0, 180.0),
                "px_per_mm": generator.uniform(9.0, 18.0),
                "focal_error": generator.normal() * 0.03,
            },
            generator,
        )


def stands_of(monkeypatch, scene, generator):
    """What the solve hands to the gates, whatever these make of it."""
    seen = []
    monkeypatch.setattr(gates, "_lifted", lambda stands: seen.extend(stands) or [])
    solve_surface(scene.found(generator), scene.dark_photo, scene.coupon, EXACT_PRINT)
    return seen


@pytest.mark.parametrize("height_mm", [0.0, 0.3, 0.6])
def test_the_height_of_a_strip_is_told_within_its_uncertainty(
    monkeypatch, standing, height_mm
) -> None:
    error_in_u = []
    for view, generator in views(12):
        scene = standing(
            design=plate_strips(), piece_moves=MOVES, stand=(height_mm, 0.0, 0.0), **view
        )
        (stand,) = stands_of(monkeypatch, scene, generator)
        error_in_u.append((stand.height_mm - height_mm) / stand.u_height_mm)
    # 12 normal deviates: 99.7 % stay below 3, and their spread near 1 or below.
    assert np.abs(error_in_u).max() <= 3.0
    assert np.std(error_in_u) <= 1.5


def test_flat_strips_and_a_card_give_no_false_alarm(standing) -> None:
    for design in (plate_strips(), plate_card()):
        for view, generator in views(12):
            scene = standing(design=design, piece_moves=MOVES, **view)
            surface = solve_surface(
                scene.found(generator), scene.dark_photo, scene.coupon, EXACT_PRINT
            )
            assert "target_lifted" not in {warning.code for warning in surface.warnings}


def test_a_strip_a_little_off_the_metal_is_told_by_its_own_name(standing) -> None:
    told = []
    for view, generator in views(10):
        scene = standing(design=plate_strips(), piece_moves=MOVES, stand=(0.8, 0.0, 0.0), **view)
        surface = solve_surface(scene.found(generator), scene.dark_photo, scene.coupon, EXACT_PRINT)
        told += [warning.code for warning in surface.warnings]
    # Where one photo cannot tell a height from a bow, it is called a bow.
    assert set(told) <= {"target_lifted", "target_bowed"}
    assert told.count("target_lifted") >= 6


@pytest.mark.parametrize(
    ("stand", "error"),
    [
        ((0.0, 0.02, 0.0), TargetLiftedError),
        ((5.0, 0.0, 0.0), WeldNotInTargetPlaneError),
        ((0.0, 0.1, 0.0), WeldNotInTargetPlaneError),
        ((0.0, 0.0, 0.2), WeldNotInTargetPlaneError),
    ],
    ids=["one end lifted", "on a block", "aslant along the weld", "aslant across the weld"],
)
def test_strips_in_different_planes_are_refused_with_the_gap(standing, stand, error) -> None:
    for view, generator in views(3):
        scene = standing(design=plate_strips(), piece_moves=MOVES, stand=stand, **view)
        with pytest.raises(error, match="mm"):
            solve_surface(scene.found(generator), scene.dark_photo, scene.coupon, EXACT_PRINT)
