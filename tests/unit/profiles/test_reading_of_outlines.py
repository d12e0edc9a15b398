"""An outline is the highest metal near its place, and seen at a slant: what a reading makes of it.

The outlines are computed here by brute force from sections whose shape is known exactly.
"""

from dataclasses import replace

import numpy as np
from numpy.testing import assert_allclose
from section_shapes import Seen, Shape, profile, truth

from beadcheck.measurements.profile import read_profile
from beadcheck.measurements.profile.opened import opened_heights_mm
from beadcheck.profiles import ProfileMethod
from beadcheck.quantity import NotMeasured, QuantityName, Side

QUIET = Seen(u_mm=0.01, correlated_mm=0.05, smooth_mm=0.03, tilt_deg=1.3)
CAP = Shape(kind="arc", width=11.3, height=2.1, toe_radius=0.4)
STEP_MM = 0.03


def outline_of(shape, *, seed, envelopes_mm=(0.01, 0.01)):
    """A side-on profile; the radius of the parabola that dilates it goes from toe to toe."""
    one = profile(shape, replace(QUIET, envelope_mm=0.0), np.random.default_rng(seed))
    middle_mm = 0.5 * float(one.across_mm[0] + one.across_mm[-1])
    toes_mm = (middle_mm - 0.5 * shape.width, middle_mm + 0.5 * shape.width)
    along = np.interp(one.across_mm, toes_mm, envelopes_mm)
    off_mm = one.across_mm[:, None] - one.across_mm[None]
    dilated = one.height_mm[None] - off_mm**2 / (2.0 * along[:, None])
    return replace(
        one,
        method=ProfileMethod.SIDE_ON,
        height_mm=dilated.max(axis=1),
        envelope_mm=max(envelopes_mm),
        envelopes_mm=along,
        crests=True,
        near_toes_mm=toes_mm,
    )


def missing(reading, side):
    return next(
        each.reason
        for each in reading.missing
        if each.name is QuantityName.UNDERCUT_DEPTH and f"{side} toe" in each.reason
    )


def test_eroding_with_the_parabola_of_each_place_gives_the_section_back():
    x_mm = np.arange(-9.0, 9.0, STEP_MM)
    section_mm = np.maximum(1.7 * (1.0 - (x_mm / 4.3) ** 2), 0.0)
    envelopes_mm = np.interp(x_mm, (-4.3, 4.3), (0.02, 0.6))
    off_mm = x_mm[:, None] - x_mm[None]
    outline_mm = (section_mm[None] - off_mm**2 / (2.0 * envelopes_mm[:, None])).max(axis=1)
    assert (outline_mm - section_mm).max() > 0.1  # a toe bulges
    eroded_mm = opened_heights_mm(outline_mm, step_mm=STEP_MM, envelopes_mm=envelopes_mm)
    # The parabola grows by a twentieth over its own reach; the corner of a toe stays filled.
    rest_mm = np.abs(eroded_mm - section_mm)[(np.abs(x_mm) < 4.0) | (np.abs(x_mm) > 5.0)]
    assert rest_mm.max() < 0.03


def test_a_slant_at_one_toe_only_leaves_the_other_toe_its_undercut():
    shape = replace(CAP, undercut=(0.0, 0.5), undercut_width=1.3)
    reading = read_profile(outline_of(shape, seed=41, envelopes_mm=(0.5, 0.01)), weld_pass=None)
    found = reading.value(QuantityName.UNDERCUT_DEPTH, Side.RIGHT)
    assert found is not None
    assert abs(found.value - 0.5) <= found.expanded_uncertainty


def test_an_undercut_on_an_outline_may_be_deeper_than_it_shows():
    shape = replace(CAP, undercut=(0.4, 0.0), undercut_width=1.5)
    reading = read_profile(outline_of(shape, seed=42), weld_pass=None)
    found = reading.value(QuantityName.UNDERCUT_DEPTH, Side.LEFT)
    assert found is not None
    least, most = found.value - found.expanded_uncertainty, found.value + found.expanded_uncertainty
    assert least < 0.4
    assert most > 0.8  # neighbouring metal may hide half of it
    assert any(part.source == "weld beside the outline" for part in found.budget)


def test_no_undercut_on_an_outline_is_not_said_to_be_none():
    reading = read_profile(outline_of(CAP, seed=43), weld_pass=None)
    for side in Side:
        assert reading.value(QuantityName.UNDERCUT_DEPTH, side) is None
        assert "one may hide there" in missing(reading, side.value)
    assert all(isinstance(each, NotMeasured) for each in reading.missing)


def test_a_slight_groove_under_a_slant_is_told_as_the_least_depth():
    shape = replace(CAP, undercut=(0.0, 0.24), undercut_width=0.9)
    reading = read_profile(outline_of(shape, seed=44, envelopes_mm=(0.3, 0.3)), weld_pass=None)
    assert reading.value(QuantityName.UNDERCUT_DEPTH, Side.RIGHT) is None
    assert "toe is at least 0.1" in missing(reading, "right")


def test_height_stays_and_area_and_width_say_what_an_outline_may_add():
    said = truth(CAP)
    reading = read_profile(outline_of(CAP, seed=45), weld_pass=None)
    height = reading.value(QuantityName.FACE_REINFORCEMENT)
    assert height is not None
    assert_allclose(height.value, said["face_reinforcement", None], atol=0.04)  # U is 0.04 mm
    for name in (QuantityName.SECTION_AREA, QuantityName.WELD_WIDTH):
        value = reading.value(name)
        assert value is not None
        assert value.value < said[name.value, None] < value.value + value.expanded_uncertainty


def test_a_hollow_on_an_outline_is_taken_to_be_wider():
    shape = Shape(kind="hollow", width=9.3, height=1.1, toe_radius=0.4)
    plain = profile(shape, QUIET, np.random.default_rng(46))
    outline = outline_of(shape, seed=46)
    narrow, wide = (
        read_profile(each, weld_pass=None).value(QuantityName.WELD_WIDTH)
        for each in (plain, outline)
    )
    assert narrow is not None
    assert wide is not None
    assert wide.value > narrow.value + 0.2
