"""The truth of pipes photographed all the way round holds against formulas written out anew.

The coupons are drawn here; nothing is rendered. Diameters and walls come from `fluids`, which holds
ASME B36.10M on its own.
"""

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import fluids
import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray

from samples.making.__main__ import smaller
from samples.making.bead import BeadStyle, lay_bead
from samples.making.card import Sheet, read_sheets
from samples.making.ring_coupons import Flaws
from samples.making.ring_photos import Ring, draw_ring
from samples.making.ring_truth import ring_truth
from samples.making.round_skin import closed
from samples.making.stage import set_stage
from samples.making.truth import truth_of
from samples.making.weld import Weld
from samples.making.wrap import Joint, Slack, Wrap

Floats = NDArray[np.float64]
ROOT = Path(__file__).parents[2]
TARGETS = ROOT / "calibration"
SAMPLE = ROOT / "samples" / "pipe-ring"
SEEDS = {"nps8": 31, "nps2": 32}
STORED_PX = 0.006  # mm are stored to 4 decimals, at up to 40 px/mm


@cache
def drawn(kind: str, flaws: Flaws = Flaws()) -> Ring:  # noqa: B008  (frozen)
    return draw_ring(kind, SEEDS[kind], kind=kind, flaws=flaws, targets=TARGETS)


@cache
def truth(kind: str, flaws: Flaws = Flaws()) -> dict[str, Any]:  # noqa: B008  (frozen)
    return ring_truth(drawn(kind, flaws))


def strip(nps: int) -> Sheet:
    (sheet,) = read_sheets(TARGETS / f"pipe-strip-nps-{nps}.toml")
    return sheet


def seam_mm(wrap: Wrap, sheet: Sheet) -> float:
    """Where the start edge lies, in s: the place of the tail's reading on the strip beneath."""
    x = wrap.seam_x_mm(sheet)
    last = len(wrap.joints)
    return float(wrap.piece_stz_mm(sheet, np.array([[x, sheet.height_mm / 2]]), last)[0, 0])


@pytest.mark.parametrize(("kind", "nps", "schedule"), [("nps8", 8, "60"), ("nps2", 2, "80")])
def test_the_pipes_are_those_of_b36_10m(kind: str, nps: int, schedule: str) -> None:
    _, _, outside_m, wall_m = fluids.nearest_pipe(NPS=nps, schedule=schedule)
    assert_allclose(truth(kind)["turn_mm"], np.pi * 1e3 * outside_m, atol=1e-4)
    assert_allclose(truth(kind)["wall_thickness_mm"], 1e3 * wall_m, atol=5e-3)


@pytest.mark.parametrize("scale", [1.0, 0.99])
@pytest.mark.parametrize("nps", [2, 8])
def test_a_tight_strip_reads_its_own_turn_where_it_closes(nps: int, scale: float) -> None:
    sheet = strip(nps)
    outside = float(sheet.outside_diameter_mm or 0)
    wrap = Wrap(s_mm=3.7, t_mm=-20.0, angle_deg=0.0, radius_mm=outside / 2, print_scale=scale)
    # Paper keeps its length in the middle of its thickness.
    assert_allclose(
        wrap.seam_x_mm(sheet), np.pi * (outside + sheet.thickness_mm) / scale, atol=2e-3
    )
    # The tail lies under the start there, which stands a paper's thickness higher on it: within
    # the tail's length that shortens its arc by at most 12 mm times 0.1 mm over the radius.
    assert_allclose(seam_mm(wrap, sheet), 3.7 + np.pi * outside, atol=0.04)


def test_a_larger_pipe_and_a_slack_strip_move_the_closing_by_their_extra_length() -> None:
    sheet = strip(8)
    outside = float(sheet.outside_diameter_mm or 0)
    tight = Wrap(s_mm=-51.0, t_mm=21.0, angle_deg=180.0, radius_mm=outside / 2)
    larger = Wrap(s_mm=-51.0, t_mm=21.0, angle_deg=180.0, radius_mm=1.01 * outside / 2)
    slack = Slack(from_mm=130.0, to_mm=310.0, lift_mm=0.8)
    loose = Wrap(s_mm=-51.0, t_mm=21.0, angle_deg=180.0, radius_mm=outside / 2, slack=slack)
    nominal = tight.seam_x_mm(sheet)
    assert_allclose(larger.seam_x_mm(sheet) - nominal, 0.01 * np.pi * outside, atol=2e-3)
    # A soft rise and fall is half its height high on average; the arc beneath it is 180 mm long.
    assert_allclose(loose.seam_x_mm(sheet) - nominal, 0.4 * 180.0 / (outside / 2), atol=0.01)


def test_a_strip_shows_its_scale_its_joints_and_its_lift() -> None:
    sheet = strip(8)
    joint = Joint(x_mm=238.0, gap_mm=0.3, step_mm=-0.2, turn_deg=0.2)
    wrap = Wrap(
        s_mm=10.0, t_mm=-19.0, angle_deg=0.0, radius_mm=109.55, joints=(joint,), print_scale=0.99
    )
    y = sheet.height_mm / 2
    places = wrap.stz_mm(sheet, np.array([[100.0, y], [200.0, y], [300.0, y], [400.0, y]]))
    on_metal = 109.55 / (109.55 + sheet.thickness_mm / 2)
    assert_allclose(np.diff(places[:2, 0]), 99.0 * on_metal, atol=1e-4)
    assert_allclose(np.diff(places[1:3, 0]), (99.0 + 0.3) * on_metal, atol=1e-3)  # cos of 0.2 deg
    assert_allclose(places[1, 1], -19.0, atol=1e-9)
    away = np.array([62.0, 162.0]) * 0.99 * np.sin(np.radians(0.2))
    assert_allclose(places[2:, 1], -19.0 - 0.2 + away, atol=1e-4)
    # Tight paper lies on the metal; a segment's first millimetres lie on the tab of the one before.
    lifts = wrap.stz_mm(sheet, np.array([[100.0, y], [241.0, y], [260.0, y]]))[:, 2]
    assert_allclose(lifts, sheet.thickness_mm * np.array([1, 2, 1]), atol=1e-9)


def test_a_turned_round_strip_mirrors_neither_markers_nor_clock() -> None:
    sheet = strip(2)
    lies = [
        Wrap(s_mm=5.0, t_mm=side * 18.0, angle_deg=90.0 + side * 90.0, radius_mm=30.15)
        for side in (-1, 1)
    ]
    for wrap in lies:
        corners = wrap.stz_mm(sheet, sheet.corners_mm[3])[:, :2]
        first, second = corners[1] - corners[0], corners[3] - corners[0]
        # The y of the strip runs down: its corners turn clockwise as seen from outside.
        assert first[0] * second[1] - first[1] * second[0] < 0
        edges = wrap.stz_mm(sheet, np.array([[50.0, 0.0], [50.0, sheet.height_mm]]))[:, 1]
        assert abs(edges[0]) < abs(edges[1])  # the weld edge faces the weld
    steps = [np.diff(w.stz_mm(sheet, np.array([[40.0, 8.0], [60.0, 8.0]]))[:, 0]) for w in lies]
    assert_allclose(steps[0], -steps[1])


@pytest.mark.parametrize("kind", ["nps8", "nps2"])
def test_clock_positions_follow_from_the_strips_marks(kind: str) -> None:
    ring, known = drawn(kind), truth(kind)
    shot = next(shot for shot in ring.shots if shot.role == "view")
    photo = truth_of(set_stage(shot.scene), image="")
    radius = known["outside_diameter_mm"] / 2
    gain = known["strip"]["print_scale"] * radius / (radius + known["strip"]["thickness_mm"] / 2)
    joints = known["strip"]["joints"]
    for marker in photo["markers"][1:]:  # the first lies on the tail, a paper's thickness higher
        x = np.mean([c[0] for c in marker["corners_card_mm"]])
        gaps = sum(joint["gap_mm"] for joint in joints if joint["x_mm"] < x)
        s = np.mean([c[0] for c in marker["corners_st_mm"]])
        arc = known["clock"]["sense"] * (s - known["clock"]["zero_s_mm"])
        expected = gain * (x - 14.0) + gaps  # the 12 o'clock mark stands at 14 mm
        off = (arc - expected + known["turn_mm"] / 2) % known["turn_mm"] - known["turn_mm"] / 2
        # Turned segments move their outer edge by 8 mm times 0.3 degrees at the most.
        assert abs(off) < 0.06


@pytest.mark.parametrize("kind", ["nps8", "nps2"])
@pytest.mark.parametrize("beads", [1, 3])
def test_the_weld_closes_on_itself(kind: str, beads: int) -> None:
    weld = set_stage(drawn(kind, Flaws(beads=beads)).shots[0].scene).weld
    assert weld is not None
    assert weld.turn_mm is not None
    s = np.linspace(-0.5, 0.5, 97) * weld.turn_mm
    t = np.arange(-9.0, 9.1, 0.7)
    low, high = weld.toes_mm(s)
    again = weld.toes_mm(s + 3 * weld.turn_mm)
    assert np.isfinite([low, high]).all()
    assert_allclose(again, (low, high), atol=1e-9)
    heights = weld.sharp_mm(s, t)
    assert_allclose(heights[:, 0], heights[:, -1], atol=1e-9)
    assert_allclose(weld.sharp_mm(s + weld.turn_mm, t), heights, atol=1e-9)


def test_a_later_bead_stands_on_the_earlier_one_and_its_edges_are_what_is_seen() -> None:
    style = BeadStyle(
        process="smaw", width_mm=8.0, crown_mm=1.6, pitch_mm=2.0, pitch_jitter=0.0, ripple_mm=0.0,
        scallop=0.0, wander_mm=0.0, waviness_mm=0.0, unrest=0.0, toe_power=2.0, lump_mm=0.0,
        crater_mm=0.0,
    )  # fmt: skip
    beads = tuple(
        lay_bead(
            np.random.default_rng(k), style, start_mm=-60.0, end_mm=60.0, offset_mm=offset,
            turn_mm=400.0, lane=k,
        )
        for k, offset in enumerate((-2.5, 2.5))
    )  # fmt: skip
    weld = Weld(beads=beads)
    t = np.array([-4.0, -1.5, 0.0, 2.5, 6.4])
    got = weld.sharp_mm(np.array([11.0]), t)[:, 0]
    # The later bead reaches from -1.5, on the parabola of the earlier one, to 6.5 on the metal.
    at_edge = 1.6 * (1 - (1.0 / 4.0) ** 2)
    line = at_edge * (6.5 - t) / 8.0
    later = line + 1.6 * (1 - ((t - 2.5) / 4.0) ** 2)
    earlier = 1.6 * (1 - ((t + 2.5) / 4.0) ** 2)
    assert_allclose(got, np.where(t < -1.5, earlier, later), atol=1e-6)
    seen = weld.uppermost(np.full(5, 11.0), t)
    assert seen.tolist() == [0, 1, 1, 1, 1]
    assert_allclose(np.array(weld.toes_mm(np.array([11.0])))[:, 0], [-6.5, 6.5], atol=1e-6)


@pytest.mark.parametrize("kind", ["nps8", "nps2"])
def test_each_half_rises_from_six_to_twelve_and_one_was_stopped_on_its_way(kind: str) -> None:
    known = truth(kind)
    turn = known["turn_mm"]
    ends = known["ends"]
    assert len(known["runs"]) == 3
    ties = [end for end in ends if end["place"] == "tie-in"]
    for end in ties:
        place = turn / 2 if end["kind"] == "start" else 0.0
        assert abs((end["arc_mm"] - place + turn / 2) % turn - turn / 2) < 25.0
    assert [end["kind"] for end in ties].count("start") == 2
    middle = [end for end in ends if end["place"] == "mid-half"]
    assert sorted(end["kind"] for end in middle) == ["start", "stop"]
    apart = abs(middle[0]["arc_mm"] - middle[1]["arc_mm"])
    widest = max(run["style_width_mm"] for run in known["runs"])
    assert 0.5 * widest < apart < 1.2 * widest
    # Of two ends that overlap one is seen: the one laid later.
    assert sum(end["shown"] for end in ends) == 3
    shown = next(end for end in middle if end["shown"])
    assert shown["kind"] == "start"
    halves = known["halves"]
    assert abs(halves[0]["width_mean_mm"] - halves[1]["width_mean_mm"]) > 0.05
    assert halves[0]["ripple_spacing_mean_mm"] != halves[1]["ripple_spacing_mean_mm"]


@pytest.mark.parametrize("kind", ["nps8", "nps2"])
def test_crests_follow_each_other_all_the_way_round(kind: str) -> None:
    known = truth(kind)
    for bead in known["beads"]:
        arc = np.array(bead["crest_arc_mm"])
        gaps = np.diff(np.append(arc, arc[0] + known["turn_mm"]))
        pitch = max(run["style_pitch_mm"] for run in known["runs"])
        assert (gaps > 0).all()
        # Where a run covers another's end, a crest may be covered too.
        assert gaps.max() < 3.2 * pitch
        spacing = np.mean([half["ripple_spacing_mean_mm"] for half in known["halves"]])
        assert_allclose(bead["crests"], known["turn_mm"] / spacing, rtol=0.06)


@pytest.mark.parametrize("kind", ["nps8", "nps2"])
def test_three_beads_lie_side_by_side_with_the_last_over_two_or_one(kind: str) -> None:
    known = truth(kind, Flaws(beads=3))
    assert known["bead_kind"] == "3 side by side"
    assert len(known["runs"]) == 7
    edges = np.array([[bead["lo_t_mm"], bead["hi_t_mm"]] for bead in known["beads"]])
    assert (edges[1:, 0] > edges[:-1, 0]).all()  # in order of growing t
    assert (edges[1:, 0] < edges[:-1, 1]).all()  # each overlaps its neighbour
    assert_allclose(edges[:, 0].min(axis=0), known["lo_t_mm"], atol=2e-4)
    assert_allclose(edges[:, 1].max(axis=0), known["hi_t_mm"], atol=2e-4)
    shown = np.array([[bead["lo_shown"], bead["hi_shown"]] for bead in known["beads"]])
    # Of the edges between two beads the later bead's is seen, all the way but for its ends.
    inner = [shown[k, 1].mean() + shown[k + 1, 0].mean() for k in range(2)]
    assert_allclose(inner, 1.0, atol=0.12)
    assert shown[0, 0].mean() > 0.9
    assert shown[-1, 1].mean() > 0.9


@pytest.mark.parametrize("kind", ["nps8", "nps2"])
def test_the_photos_show_the_whole_turn_and_overlap(kind: str) -> None:
    known = truth(kind)
    turn = known["turn_mm"]
    photos = sorted(known["photos"], key=lambda photo: photo["look_arc_mm"])
    for photo, following in zip(photos, photos[1:] + photos[:1], strict=True):
        overlap = (photo["shows_arc_mm"][1] - following["shows_arc_mm"][0] + turn / 2) % turn
        assert 360.0 * (overlap - turn / 2) / turn > 8.0
    looks = [photo["look_arc_mm"] for photo in known["photos"]]
    assert looks != sorted(looks)
    assert looks != sorted(looks, reverse=True)


def test_one_photo_is_missing_one_is_taken_twice_and_one_is_anothers() -> None:
    flaws = Flaws(missing=True, duplicate=True, stranger=True)
    whole, known = truth("nps8"), truth("nps8", flaws)
    roles = [photo["role"] for photo in known["photos"]]
    assert sorted(roles) == ["duplicate", "stranger"] + ["view"] * 6
    shown = np.zeros(700, dtype=bool)
    arc = np.arange(700) * known["turn_mm"] / 700
    for photo in known["photos"]:
        if photo["role"] == "view":
            first = photo["shows_arc_mm"][0]
            shown |= (arc - first) % known["turn_mm"] <= photo["shows_mm"]
    gap = arc[~shown]
    away = (gap - known["left_out_arc_mm"] + known["turn_mm"] / 2) % known["turn_mm"]
    assert 5.0 < 360.0 * len(gap) / 700 < 60.0
    assert np.abs(away - known["turn_mm"] / 2).max() < 0.5 * known["turn_mm"] / 7
    assert_allclose(known["width_mm"], whole["width_mm"])  # the same coupon
    ring = drawn("nps8", flaws)
    stranger = next(shot for shot in ring.shots if shot.role == "stranger")
    other = set_stage(stranger.scene).weld
    assert other is not None
    assert abs(other.beads[0].style.width_mm - whole["runs"][0]["style_width_mm"]) > 1e-3


@pytest.mark.parametrize("sign", [-1, 1])
def test_a_diameter_one_per_cent_off_keeps_strip_and_entry_nominal(sign: int) -> None:
    known = truth("nps8", Flaws(diameter_off=sign))
    assert known["outside_diameter_entered_mm"] == 219.1
    assert_allclose(known["outside_diameter_mm"], 219.1 * (1 + 0.01 * sign), atol=1e-4)
    reads = known["strip"]["seam"]["tail_reads_mm"] * known["strip"]["print_scale"]
    gaps = sum(joint["gap_mm"] for joint in known["strip"]["joints"])
    assert_allclose(reads + gaps, np.pi * (known["outside_diameter_mm"] + 0.1), atol=0.02)


@pytest.mark.parametrize("kind", ["nps8", "nps2"])
def test_opencv_projects_the_rings_toes_to_the_photos_stored_pixels(kind: str) -> None:
    known, shot = truth(kind), drawn(kind).shots[0]
    photo = truth_of(set_stage(shot.scene), image="")
    toes, camera = photo["weld"]["toes"], photo["camera"]
    there = np.flatnonzero(toes["in_view"])
    s = np.array(toes["s_mm"])[there]
    arc = known["clock"]["sense"] * (s - known["clock"]["zero_s_mm"]) % known["turn_mm"]
    low = np.interp(arc, known["arc_mm"], known["lo_t_mm"], period=known["turn_mm"])
    # Every millimetre there, every 0.2 mm here; the toes follow the ripples in between.
    assert_allclose(low, np.array(toes["lo_t_mm"], dtype=float)[there], atol=0.25)
    radius = known["outside_diameter_mm"] / 2
    t = np.array(toes["lo_t_mm"], dtype=float)[there]
    angle = s / radius
    xyz = np.stack([radius * np.sin(angle), t, radius * np.cos(angle) - radius], axis=1)
    px, _ = cv2.projectPoints(
        xyz, cv2.Rodrigues(np.array(camera["R"]))[0], np.array(camera["t"]),
        np.array(camera["K"]), np.array(camera["dist_k1_k2_p1_p2_k3"]),
    )  # fmt: skip
    stored = np.array(toes["lo_px"], dtype=float)[there]
    assert_allclose(px.reshape(-1, 2), stored, atol=STORED_PX)
    crests = photo["weld"]["ripples"][0]["crest_s_mm"]
    assert len(crests) == known["beads"][0]["crests"]
    assert np.diff(crests).min() > 0


def test_a_closed_skin_passes_from_its_end_into_its_start() -> None:
    rng = np.random.default_rng(5)
    layer = np.cumsum(rng.standard_normal((4, 90, 3)), axis=1).astype(np.float32)
    skin = closed(layer, 70)
    assert skin.shape == (4, 70, 3)
    assert_allclose(skin[:, 20:], layer[:, 20:70])
    # The first column is nearly what was painted next to the last.
    assert_allclose(skin[:, 0], 0.975 * layer[:, 70] + 0.025 * layer[:, 0], rtol=1e-5)


def test_the_sample_ring_holds_the_truth_of_its_seed() -> None:
    stored = json.loads((SAMPLE / "ring.json").read_text(encoding="utf-8"))
    ring = draw_ring(SAMPLE.name, stored["seed"], kind="nps2", flaws=Flaws(), targets=TARGETS)
    half = tuple(replace(shot, scene=smaller(shot.scene, 2)) for shot in ring.shots)
    again = ring_truth(replace(ring, shots=half))
    assert again.keys() == stored.keys()
    for key in ("width_mm", "arc_mm", "lo_t_mm", "hi_t_mm"):
        assert_allclose(again[key], stored[key], atol=2e-4)
    crests = [truth["beads"][0]["crest_arc_mm"] for truth in (again, stored)]
    assert_allclose(*crests, atol=2e-4)
    assert [p["markers"] for p in again["photos"]] == [p["markers"] for p in stored["photos"]]


@pytest.mark.parametrize("photo", sorted(SAMPLE.glob("*.jpg")), ids=lambda p: p.stem)
def test_opencv_finds_the_sample_rings_markers_where_the_truth_says(photo: Path) -> None:
    known = json.loads(photo.with_suffix(".json").read_text(encoding="utf-8"))
    markers = {m["id"]: np.array(m["corners_px"]) for m in known["markers"] if m["in_view"]}
    picture = cv2.imread(str(photo), cv2.IMREAD_GRAYSCALE)  # turned upright by its EXIF
    assert picture is not None
    assert list(picture.shape[::-1]) == known["image_size"]
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_250)
    found, ids, _ = cv2.aruco.ArucoDetector(book).detectMarkers(picture)
    offsets = [
        (corners[0] - markers[k]).mean(axis=0)
        for corners, k in zip(found, ids.ravel().tolist(), strict=True)
    ]
    assert len(offsets) >= 3  # of four or five: on so small a pipe the outer ones are oblique
    # The middle of a marker does not feel the shift of its edges: whole-pixel corners, averaged.
    assert np.abs(np.mean(offsets, axis=0)).max() < 0.4
