"""How the distances from the modelled edges change with each parameter."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from beadcheck.surface import PrintScale, solve_surface
from beadcheck.surface.edge_rest import edge_rest_px
from beadcheck.surface.fit import numeric_jacobian
from beadcheck.surface.lie import standing_rest_px
from beadcheck.surface.model import RADIUS, STRIP_TURN
from beadcheck.target.catalogue import plate_strips

EXACT_PRINT = PrintScale(ratio=1.0, u_ratio=0.0)


@pytest.mark.parametrize(
    "view", [{}, {"radius_mm": 84.15, "tilt_deg": 31.0, "roll_deg": -63.0, "strip_turn_deg": 0.7}]
)
def test_the_quick_derivatives_are_those_of_small_moves(make_scene, five_in_a_row, view):
    generator = np.random.default_rng(20261128)
    scene = make_scene(design=five_in_a_row(), k1=0.11, k2=-0.07, **view)
    found = scene.found(generator)
    surface = solve_surface(found, scene.dark_photo, scene.coupon, EXACT_PRINT)
    model = surface.model
    places = np.arange(model.parameter_count)
    if model.radius_mm is None:
        places = np.setdiff1d(places, [RADIUS, STRIP_TURN])
    # Away from the solution, and with bows to either side of flat.
    parameters = surface.parameters + 3e-3 * generator.normal(size=model.parameter_count)
    parts = np.zeros(len(found.edges.u_px), dtype=np.intp)
    assert_derivatives(edge_rest_px(model, found.edges, parts), parameters, places)


def test_the_quick_derivatives_hold_where_one_of_two_strips_stands_aslant(make_scene):
    generator = np.random.default_rng(20261129)
    scene = make_scene(design=plate_strips(), piece_moves=((1.3, -0.7, 0.012),), px_per_mm=11.0)
    found = scene.found(generator)
    surface = solve_surface(found, scene.dark_photo, scene.coupon, EXACT_PRINT)
    model = surface.model
    pieces = np.array([each.marker.piece for each in found.markers])
    rest = standing_rest_px(model, found.edges, pieces[found.edges.marker], other=1)
    own = surface.parameters + 3e-3 * generator.normal(size=model.parameter_count)
    stand = np.array([0.41, -0.013, 0.021])
    places = np.setdiff1d(np.arange(own.size + stand.size), [RADIUS, STRIP_TURN])
    assert_derivatives(rest, np.concatenate([own, stand]), places)


def assert_derivatives(rest, parameters, places):
    value, quick = rest.derivatives(parameters, places)
    expected, slow = numeric_jacobian(rest, parameters, places)
    assert_allclose(value, expected, atol=1e-12)
    greatest = np.abs(slow).max(axis=0)
    assert greatest.min() > 0.0
    # Forward differences err by half a step times the curvature: below 1e-4 of each column.
    assert_allclose(quick / greatest, slow / greatest, atol=1e-4)
