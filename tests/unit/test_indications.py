"""Places to look at: planted ones are found where and as large as they are, clean ones hardly."""

from collections import Counter
from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pytest

from beadcheck.coupon import Coupon
from beadcheck.indications import MOST_SHOWN, CandidateKind, find_candidates, look_here_words
from beadcheck.indications.end_dip import end_dips
from beadcheck.indications.find import MOST_OF_A_KIND
from beadcheck.indications.levelled import LevelMap
from beadcheck.photo import read_photo
from beadcheck.surface import print_scale, solve_surface
from beadcheck.target.catalogue import default_targets
from beadcheck.target.find import find_target
from beadcheck.toes import follow_weld, locate_weld, stations

SAMPLE = Path(__file__).parents[2] / "samples" / "plate-gtaw-pulsed.jpg"
"""A rendered weld without spots, specks, spatter or undercut."""


class Bench:
    """The sample's map, to plant things into; its lengths are mm on the base metal."""

    def __init__(self):
        photo, coupon = read_photo(SAMPLE), Coupon()
        found = find_target(photo, default_targets(coupon))
        self.surface = solve_surface(found, photo, coupon, print_scale(found.design, None))
        self.weld = follow_weld(photo, self.surface, locate_weld(photo, self.surface))
        self.toes = stations(self.weld, self.surface)

    @property
    def bead(self):
        return self.weld.bead

    def toe_mm(self, side, s_mm):
        toe = self.toes.left_mm if side == "left" else self.toes.right_mm
        return np.interp(s_mm, self.toes.s_mm, self.bead.axis.to_weld(toe)[:, 1])

    def at(self, s_mm, share):
        """Place at a share of the way from the left toe to the right one; beyond them outside."""
        left, right = self.toe_mm("left", s_mm), self.toe_mm("right", s_mm)
        return s_mm, float(left + share * (right - left))

    def darkened(self, cover):
        """The weld under a cover: 0 leaves a pixel as it is, 1 makes it black. Edges are softened
        as a phone's lens does."""
        soft = cv2.GaussianBlur(cover.astype(np.float32), (0, 0), 1.3)
        pixels = self.bead.bgr * (1.0 - soft[..., None])
        bead = replace(self.bead, bgr=np.round(pixels).astype(np.uint8))
        return replace(self.weld, bead=bead)

    def empty(self):
        return np.zeros(self.bead.bgr.shape[:2], dtype=np.float32)

    def ellipse(self, s_mm, across_mm, along, across, *, cover=0.7):
        x = (self.bead.s_mm - s_mm) / (0.5 * along)
        y = (self.bead.across_mm[:, None] - across_mm) / (0.5 * across)
        return np.where(x**2 + y**2 < 1.0, cover, 0.0).astype(np.float32)

    def find(self, weld):
        return find_candidates(weld, self.toes, self.surface)


@pytest.fixture(scope="module")
def bench():
    return Bench()


def near(candidates, kind, s_mm, across_mm, within_mm=0.5):
    """The candidate of a kind at a place, or None."""
    away = {
        float(np.hypot(each.s_mm - s_mm, each.across_mm - across_mm)): each
        for each in candidates
        if each.kind is kind
    }
    return away[min(away)] if away and min(away) < within_mm else None


@pytest.mark.parametrize(
    ("along", "across"), [(0.7, 0.7), (1.0, 0.8), (0.9, 1.3), (1.5, 1.2)], ids=str
)
@pytest.mark.parametrize("share", [0.3, 0.45])
def test_a_dark_spot_on_the_weld_face_is_found_with_its_size(bench, along, across, share):
    s_mm, across_mm = bench.at(38.4 + 3.1 * along, share)
    spot = near(
        bench.find(bench.darkened(bench.ellipse(s_mm, across_mm, along, across))),
        CandidateKind.SPOT_ON_FACE,
        s_mm,
        across_mm,
    )
    assert spot is not None
    size = spot.size
    assert abs(size.along_mm - along) <= 2.0 * size.u_along_mm
    assert abs(size.across_mm - across) <= 2.0 * size.u_across_mm
    assert spot.side is None
    assert 0.5 <= spot.strength <= 1.0


@pytest.mark.parametrize(("side", "share"), [("left", -0.45), ("right", 1.4)])
def test_a_dark_spot_on_the_base_metal_is_one_there(bench, side, share):
    s_mm, across_mm = bench.at(51.0, share)
    found = bench.find(bench.darkened(bench.ellipse(s_mm, across_mm, 1.1, 0.9)))
    spot = near(found, CandidateKind.SPOT_ON_BASE, s_mm, across_mm)
    assert spot is not None
    assert spot.side == side
    assert near(found, CandidateKind.SPOT_ON_FACE, s_mm, across_mm) is None


@pytest.mark.parametrize("turn", [0.2, 0.9, 1.4])
def test_a_scratch_across_the_face_is_no_spot(bench, turn):
    s_mm, across_mm = bench.at(44.0, 0.4)
    x = bench.bead.s_mm - s_mm
    y = bench.bead.across_mm[:, None] - across_mm
    along = x * np.cos(turn) + y * np.sin(turn)
    off = -x * np.sin(turn) + y * np.cos(turn)
    scratch = np.where((np.abs(along) < 2.0) & (np.abs(off) < 0.15), 0.6, 0.0)
    found = bench.find(bench.darkened(scratch))
    assert near(found, CandidateKind.SPOT_ON_FACE, s_mm, across_mm, 1.5) is None


@pytest.mark.parametrize(("side", "outwards"), [("left", -1.0), ("right", 1.0)])
def test_a_dark_line_along_a_toe_is_found_with_its_length(bench, side, outwards):
    first, last = 33.0, 52.0
    bead = bench.bead
    off = outwards * (bead.across_mm[:, None] - bench.toe_mm(side, bead.s_mm)) - 0.35
    run = (bead.s_mm > first) & (bead.s_mm < last)
    cover = 0.65 * np.exp(-((2.0 * off / 0.7) ** 2)) * run
    found = bench.find(bench.darkened(cover))
    lines = [
        each
        for each in found
        if each.kind is CandidateKind.LINE_AT_TOE and each.side == side and first < each.s_mm < last
    ]
    assert len(lines) == 1
    size = lines[0].size
    assert abs(size.along_mm - (last - first)) <= 2.0 * size.u_along_mm
    # A bell's width at half its height: 0.7 mm times the root of ln 2. It is 6 px here, and
    # darkness is taken in contrast, which widens it a little.
    assert size.across_mm == pytest.approx(0.7 * np.sqrt(np.log(2.0)), rel=0.4)


def test_a_dark_line_of_two_millimetres_is_none(bench):
    bead = bench.bead
    off = bead.across_mm[:, None] - bench.toe_mm("left", bead.s_mm) + 0.35
    run = (bead.s_mm > 60.0) & (bead.s_mm < 62.0)
    found = bench.find(bench.darkened(0.65 * np.exp(-((2.0 * off / 0.7) ** 2)) * run))
    lines = [each for each in found if each.kind is CandidateKind.LINE_AT_TOE]
    assert not any(58.0 < each.s_mm < 64.0 for each in lines)


def test_a_rough_patch_on_the_base_metal_is_found(bench):
    s_mm, across_mm = bench.at(48.0, 1.7)
    noise = np.random.default_rng(4).normal(size=bench.empty().shape).astype(np.float32)
    blobs = cv2.GaussianBlur(noise, (0, 0), 0.18 * bench.bead.px_per_mm)
    blobs *= 0.25 / blobs.std()
    inside = bench.ellipse(s_mm, across_mm, 3.2, 2.8, cover=1.0)
    found = bench.find(bench.darkened(np.clip(inside * (0.3 + blobs), -0.5, 0.9)))
    patch = near(found, CandidateKind.ROUGH_SPOT, s_mm, across_mm, 1.0)
    assert patch is not None
    assert patch.side == "right"
    assert abs(patch.size.along_mm - 3.2) <= 2.0 * patch.size.u_along_mm


def test_a_clean_weld_has_at_most_one_false_candidate(bench):
    found = bench.find(bench.weld)
    # This weld ends in a crater: a dip there is no false candidate.
    assert len([each for each in found if each.kind is not CandidateKind.DIP_AT_END]) <= 1


def test_of_many_no_more_than_twelve_are_shown_the_clearest_first(bench):
    cover = bench.empty()
    for index, s_mm in enumerate(np.arange(18.0, 78.0, 4.0)):
        for share in (0.3, -0.4, 1.5):
            cover += bench.ellipse(*bench.at(s_mm, share), 0.9, 0.9, cover=0.4 + 0.02 * index)
    found = bench.find(bench.darkened(cover))
    assert len(found) == MOST_SHOWN == 12
    # 15 were planted on the face and 30 beside it; neither crowds out the other.
    counts = Counter(each.kind for each in found)
    assert counts[CandidateKind.SPOT_ON_FACE] == MOST_OF_A_KIND
    assert MOST_OF_A_KIND - 1 <= counts[CandidateKind.SPOT_ON_BASE] <= MOST_OF_A_KIND
    strengths = [each.strength for each in found]
    assert strengths == sorted(strengths, reverse=True)


def test_the_box_holds_what_was_seen(bench):
    s_mm, across_mm = bench.at(41.0, 0.35)
    found = bench.find(bench.darkened(bench.ellipse(s_mm, across_mm, 1.2, 0.9)))
    spot = near(found, CandidateKind.SPOT_ON_FACE, s_mm, across_mm)
    low, high = (
        getattr(bench.bead.axis.to_weld(spot.corners_mm), name)(axis=0) for name in ("min", "max")
    )
    half = np.array([0.6, 0.45])
    middle = np.array([s_mm, across_mm])
    assert (low < middle - half).all()
    assert (high > middle + half).all()


def shaded_weld(*, dish_mm: float) -> LevelMap:
    """A smooth dome with rounded ends in slanting light, a dish pressed into its last pool."""
    px_per_mm, width_mm, length_mm = 10.0, 9.0, 70.0
    s_mm = np.arange(0.0, length_mm, 1.0 / px_per_mm)
    across_mm = np.arange(-13.0, 13.0, 1.0 / px_per_mm)
    half = 0.5 * width_mm
    inwards = np.clip(np.minimum(s_mm, length_mm - s_mm) / half, 0.0, 1.0)
    edge = np.sqrt(1.0 - (1.0 - inwards) ** 2)
    x = across_mm[:, None] / np.maximum(half * edge, 0.1)
    dome = 1.6 * edge**0.8 * np.clip(1.0 - x**2, 0.0, None)
    away = np.hypot(s_mm - (length_mm - 0.55 * width_mm), across_mm[:, None])
    dish = dish_mm * np.clip(1.0 - (away / (0.36 * width_mm)) ** 2, 0.0, None) ** 1.5
    down, ahead = np.gradient(np.maximum(dome - dish, 0.0), 1.0 / px_per_mm)
    lamp = np.array([0.35, 0.6, 0.72])
    normal = np.stack([-ahead, -down, np.ones_like(down)]) / np.sqrt(1.0 + ahead**2 + down**2)
    shade = np.clip(np.tensordot(lamp / np.linalg.norm(lamp), normal, 1), 0.02, None)
    grey = cv2.GaussianBlur(255.0 * shade ** (1 / 2.2), (0, 0), 1.0)
    grey += np.random.default_rng(1).normal(0.0, 1.0, grey.shape)
    face = np.abs(across_mm[:, None]) < half * np.maximum(edge, 0.05) - 0.35
    return LevelMap(
        light=np.log(grey + 12.0).astype(np.float32),
        s_mm=s_mm,
        across_mm=across_mm,
        left_mm=-half * np.maximum(edge, 0.05),
        right_mm=half * np.maximum(edge, 0.05),
        face=face,
        base=np.zeros_like(face),
        px_per_mm=px_per_mm,
    )


def test_a_dip_at_the_end_of_a_weld_is_found_there():
    (dip,) = end_dips(shaded_weld(dish_mm=1.5), (True, True))
    assert dip.s_mm == pytest.approx(70.0 - 0.55 * 9.0, abs=1.2)
    assert dip.across_mm == pytest.approx(0.0, abs=0.6)


def test_a_full_end_and_an_end_out_of_view_have_no_dip():
    assert end_dips(shaded_weld(dish_mm=0.0), (True, True)) == []
    assert end_dips(shaded_weld(dish_mm=1.5), (True, False)) == []


@pytest.mark.parametrize("kind", CandidateKind)
def test_every_kind_says_look_here_and_leaves_the_judgement_to_an_inspector(kind):
    words = look_here_words(kind)
    assert "look here" in words
    assert "an inspector says" in words


def test_a_photo_too_coarse_to_show_half_a_millimetre_shows_none(bench):
    spot = bench.darkened(bench.ellipse(*bench.at(38.0, 0.35), 1.0, 1.0))
    coarse = replace(
        bench.toes, left_px=0.2 * bench.toes.left_px, right_px=0.2 * bench.toes.right_px
    )
    assert find_candidates(spot, bench.toes, bench.surface) != ()
    assert find_candidates(spot, coarse, bench.surface) == ()
