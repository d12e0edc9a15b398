"""Heights on a pipe's outline, against tangents found by brute force and against a study's table.

scipy.optimize finds the line of sight that touches a cylinder, or a torus laid round it, by
minimising the distance along the sight and then solving for the pixel at which it is 0; nothing of
the library's closed formula is used. The table of what "pixels times scale" gives instead was
computed for the project by a study of its own (accuracy study, section 2.3: synthetic, to first
order); its percentages are repeated here from plane trigonometry, exactly, and checked against it.
"""

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq, minimize_scalar

from beadcheck.camera import Camera
from beadcheck.profiles.side_on.budget import height_over
from beadcheck.profiles.side_on.limb import LimbView
from beadcheck.surface import PrintScale, SolvedSurface
from beadcheck.surface.model import Model, Part

FOCAL_PX = 3000.0
TRUE_MM = 2.0

# Outside diameter and distance to the near face (mm); error of 2 mm by the scale at the axis, at
# the near face and at the limb's depth, in percent.
TABLE = [
    (60.3, 150.0, 4.7, -12.9, 1.7),
    (114.3, 150.0, 13.1, -18.1, 4.5),
    (114.3, 250.0, 5.6, -14.0, 2.0),
    (168.3, 150.0, 23.7, -20.7, 7.7),
    (273.0, 150.0, 48.0, -22.5, 14.5),
]


def a_view(radius_mm, distance_mm, tilt_rad=0.0):
    """A lens straight over a pipe, turned by a tilt towards the limb at growing arc."""
    camera = Camera(
        focal_px=FOCAL_PX, centre_px=(2015.5, 1511.5), k1=0.0, k2=0.0,
        u_focal_px=90.0, u_centre_px=50.0, u_k1=0.0, u_k2=0.0,
    )  # fmt: skip
    cosine, sine = math.cos(tilt_rad), math.sin(tilt_rad)
    rotation = np.array([[cosine, 0.0, -sine], [0.0, 1.0, 0.0], [sine, 0.0, cosine]])
    eye = np.array([0.0, 0.0, -distance_mm])
    model = Model(
        camera=camera, rotation=rotation, translation_mm=-rotation @ eye, pivot_mm=np.zeros(2),
        thickness_mm=0.1, radius_mm=radius_mm,
        parts=(Part(middle_mm=np.zeros(2), half_span_mm=np.ones(2)),),
    )  # fmt: skip
    count = model.parameter_count
    surface = SolvedSurface(
        model=model, parameters=np.zeros(count), covariance=np.eye(count), free=np.arange(14),
        residual_px=0.0, pattern_px=0.0, blur_px=1.0, scale=PrintScale(ratio=1.0, u_ratio=0.0),
        outlines_mm=(), clock_zero_mm=None, clock_sense=1,
    )  # fmt: skip
    return LimbView(surface=surface, side=1), eye


def clearance_mm(eye, sight, outside_mm, radius_mm):
    """How far a line of sight stays off a body of revolution about the pipe's axis, at its nearest.

    `outside_mm` is the body's radius as a function of the place along the axis.
    """

    def over(reach):
        place = eye + reach * sight
        return math.hypot(place[0], place[2] - radius_mm) - outside_mm(place[1])

    rough = np.linspace(0.2, 3.0, 400) * abs(eye[2]) / abs(sight[2])
    best = rough[np.argmin([over(reach) for reach in rough])]
    step = rough[1] - rough[0]
    found = minimize_scalar(over, bounds=(best - step, best + step), method="bounded",
                            options={"xatol": 1e-10})  # fmt: skip
    return found.fun


def touching_column(eye, rotation, row_px, outside_mm, radius_mm):
    """Column of the pixel, in a row, whose sight just touches the body."""

    def over(column_px):
        ahead = np.array([(column_px - 2015.5) / FOCAL_PX, (row_px - 1511.5) / FOCAL_PX, 1.0])
        return clearance_mm(eye, ahead @ rotation, outside_mm, radius_mm)

    return brentq(over, 2015.5, 2015.5 + 4000.0, xtol=1e-9)


@pytest.mark.parametrize(("diameter_mm", "near_mm", "axis", "near", "limb"), TABLE)
def test_tangents_give_the_height_where_pixels_times_a_scale_do_not(
    diameter_mm, near_mm, axis, near, limb
):
    radius_mm = 0.5 * diameter_mm
    distance_mm = near_mm
    axis_mm = radius_mm + distance_mm
    view, eye = a_view(radius_mm, distance_mm)
    rotation = view.surface.model.rotation
    row_px = 1511.5
    columns = [
        touching_column(eye, rotation, row_px, lambda _, out=out: out, radius_mm)
        for out in (radius_mm, radius_mm + TRUE_MM)
    ]
    raw = view.heights_mm(np.array([[column, row_px] for column in columns]))
    seen_mm = height_over(radius_mm, raw[1:], raw[:1])
    assert_allclose(seen_mm, TRUE_MM, atol=1e-6)  # both sides solve to 1e-9 px

    moved_mm = (columns[1] - columns[0]) / FOCAL_PX
    cos_b = math.sqrt(1.0 - (radius_mm / axis_mm) ** 2)
    naive = [moved_mm * depth for depth in (axis_mm, distance_mm, axis_mm * cos_b**2)]
    off = [100.0 * (value / TRUE_MM - 1.0) for value in naive]
    # The table is of first order in h; h/2R and the like are up to 4 percent of the small pipe.
    assert_allclose(off, [axis, near, limb], atol=4.0)
    assert max(map(abs, off)) > 10.0


def test_focal_length_hardly_matters_as_the_study_says():
    radius_mm, distance_mm = 57.15, 150.0
    view, _ = a_view(radius_mm, distance_mm)
    sin_b = radius_mm / (radius_mm + distance_mm)
    places_px = view.pixels(np.zeros(2), np.array([0.0, TRUE_MM]))
    shorter = np.zeros_like(view.surface.parameters)
    shorter[6] = 0.03  # logarithm of the focal length's ratio
    base, top = view.seen_with(shorter).heights_mm(places_px)
    change = height_over(radius_mm, np.array([top]), np.array([base]))[0] / TRUE_MM - 1.0
    # 2 sin² b df/f, to first order: 0.5 percent here for 3 percent.
    assert_allclose(abs(change), 2.0 * sin_b**2 * 0.03, rtol=0.15)


@pytest.mark.parametrize("oblique_px", [0.0, 180.0, -330.0])
def test_crest_of_a_bead_shows_in_full_up_to_ten_degrees(oblique_px):
    """A torus of a bead, not a cylinder: its crest is seen at its own height (study, 2.3)."""
    radius_mm, distance_mm = 57.15, 150.0
    view, eye = a_view(radius_mm, distance_mm)
    row_px = 1511.5 + oblique_px
    foot_px = view.pixels(np.zeros(1), np.zeros(1))[0]
    ahead = np.array([(foot_px[0] - 2015.5) / FOCAL_PX, oblique_px / FOCAL_PX, 1.0])
    limb_mm = view.touching_mm(np.array([[foot_px[0], row_px]]))[0, 1]
    assert abs(math.degrees(math.atan2(ahead[1], 1.0))) < 10.0

    def bead(along_mm):
        return radius_mm + TRUE_MM * math.exp(-(((along_mm - limb_mm) / 3.0) ** 2))

    rows = row_px + np.linspace(-40.0, 40.0, 17)
    rotation = view.surface.model.rotation
    columns = [touching_column(eye, rotation, row, bead, radius_mm) for row in rows]
    raw = view.heights_mm(np.column_stack([columns, rows]))
    # 17 rows stand 5 px, 0.25 mm, apart on a crest of 2.3 mm radius: at most 0.005 mm is missed.
    assert_allclose(raw.max(), TRUE_MM, atol=0.01)
