"""The root of a pipe through its open end, against the truth of a rendered photo.

The render (``samples/making/photos_root.py``) tells exactly where each toe lies and where the
camera stands; the inside of a pipe is projected here on its own, from the drawing board.
"""

import json
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from beadcheck.coupon import Coupon, Process, Shape, WeldPass
from beadcheck.errors.bore import BoreUnknownError, OnlyFromAboveInBoreError
from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Request, Take, measure, takes_of
from beadcheck.result import Result

PHOTO = Path(__file__).parents[2] / "samples" / "pipe-root-side" / "pipe-root-side.jpg"
ROOT = Coupon(
    shape=Shape.PIPE,
    outside_diameter_mm=168.3,
    wall_thickness_mm=7.11,
    process=Process.GTAW_PULSED,
    weld_pass=WeldPass.ROOT_SIDE,
)
Floats = NDArray[np.float64]


@cache
def truth() -> dict:
    return json.loads(PHOTO.with_suffix(".json").read_text(encoding="utf-8"))


@cache
def measured() -> Result:
    return measure(Request(takes=takes_of([PHOTO]), coupon=ROOT))


def seen_px(s_mm: Floats, t_mm: Floats) -> Floats:
    camera = truth()["camera"]
    bore_mm = truth()["surface"]["bore_mm"]
    angle = 2.0 * s_mm / bore_mm
    space = np.stack(
        [0.5 * bore_mm * np.sin(angle), t_mm, 0.5 * bore_mm * (1.0 - np.cos(angle))], axis=-1
    )
    place = space @ np.array(camera["R"]).T + camera["t"]
    direction = place[:, :2] / place[:, 2:]
    r2 = (direction**2).sum(axis=1, keepdims=True)
    k1, k2 = camera["dist_k1_k2_p1_p2_k3"][:2]
    matrix = np.array(camera["K"])
    return direction * (1.0 + r2 * (k1 + k2 * r2)) * matrix[[0, 1], [0, 1]] + matrix[:2, 2]


def true_s_mm(middle_px: Floats) -> Floats:
    """Arc on the bore, from the truth's start, of places in the photo."""
    stations = truth()["weld"]["stations"]
    s = np.array([each["s"] for each in stations])
    middle = np.array([0.5 * (each["lo_t"] + each["hi_t"]) for each in stations])
    line = seen_px(s, middle)
    apart = np.linalg.norm(line[None] - middle_px[:, None], axis=2)
    return s[apart.argmin(axis=1)]


def test_width_and_spacing_of_the_root_are_within_their_uncertainty() -> None:
    values = {(each.name, each.statistic): each for each in measured().quantities}
    width, spacing = values["weld_width", "mean"], values["ripple_spacing", "mean"]
    in_view = [each["width"] for each in truth()["weld"]["stations"] if each["in_view"]]
    assert abs(width.value - np.mean(in_view)) <= width.expanded_uncertainty < 0.5
    assert abs(spacing.value - 1.5) <= spacing.expanded_uncertainty


def test_stations_widths_hold_and_say_so() -> None:
    stations = [each for each in measured().stations if each.sure and each.steady]
    middle = np.array([np.mean([each.left_toe_px, each.right_toe_px], axis=0) for each in stations])
    widths = {each["s"]: each["width"] for each in truth()["weld"]["stations"]}
    true_mm = np.array([widths[s] for s in true_s_mm(middle)])
    width_mm = np.array([each.weld_width_mm for each in stations])
    expanded_mm = np.array([each.weld_width_U_mm for each in stations])
    assert len(stations) >= 100
    assert np.mean(np.abs(width_mm - true_mm) <= expanded_mm) >= 0.95


def test_places_are_those_of_the_clock_seen_from_the_open_end() -> None:
    # The strip's 12 o'clock line lies at clock_zero_s_mm; from there the clock falls as s grows.
    stations = [each for each in measured().stations if each.sure]
    middle = np.array([np.mean([each.left_toe_px, each.right_toe_px], axis=0) for each in stations])
    zero_mm = truth()["card"]["clock_zero_s_mm"]
    turn_mm = np.pi * truth()["surface"]["bore_mm"]
    expected = -360.0 * (true_s_mm(middle) - zero_mm) / turn_mm
    off = (np.array([each.clock_deg for each in stations]) - expected + 180.0) % 360.0 - 180.0
    assert np.abs(off).max() * turn_mm / 360.0 <= 1.0
    (photo,) = measured().photos
    assert photo.outside_diameter_mm is None
    assert photo.bore_mm == pytest.approx(truth()["surface"]["bore_mm"], rel=0.01)


def test_heights_inside_a_pipe_are_left_to_a_gauge_and_say_so() -> None:
    missing = {each.name: each.how_to for each in measured().not_measured}
    assert missing["root_reinforcement"].startswith("Measure it with a weld gauge")
    with pytest.raises(OnlyFromAboveInBoreError, match="weld gauge"):
        Request(takes=(Take(kind=PhotoKind.SIDE_ON, photos=(PHOTO,)),), coupon=ROOT)


def test_a_pipe_without_wall_has_no_known_bore() -> None:
    pipe = Coupon(shape=Shape.PIPE, outside_diameter_mm=168.3, weld_pass=WeldPass.ROOT_SIDE)
    with pytest.raises(BoreUnknownError, match="Give the wall"):
        Request(takes=takes_of([PHOTO]), coupon=pipe)
