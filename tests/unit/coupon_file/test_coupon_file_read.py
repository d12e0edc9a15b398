"""A coupon file is read strictly: what is wrong is said with file, line, key and mend."""

import contextlib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from beadcheck.arc import PulsedArc, SteadyArc
from beadcheck.camera import CameraBook
from beadcheck.coupon import DepthBy, Polarity, Position, Process, Shape, StripSide, WeldPass
from beadcheck.coupon_file import NumberSaid, coupon_order, read_coupon_file
from beadcheck.errors import BeadcheckError, InputFileError
from beadcheck.errors.coupon_file import NothingToMeasureError
from beadcheck.limits import DecisionRule, LengthSystem
from beadcheck.photo import PhotoKind
from beadcheck.quantity import COVERAGE_FACTOR

from .conftest import COUPON

PULSED = """\
format = "beadcheck-coupon/1"
coupon = "row of spots"
units = "inch"
guard = "95"
no_camera = true

[[pass]]
pass = "cap"
process = "gtaw-pulsed"
peak_current_a = 120
background_percent = 30
volts = 11
peak_time = 0.5
background_time = 0.4
times_are = "seconds"
motion = "stepped"
overlap_percent = 75
current_range_a = [90, 130]
current_range_by = "electrode"

[[pass.photo]]
file = "cap.jpg"
"""


def test_a_coupon_is_read_as_it_is_written(written):
    coupon = read_coupon_file(written())
    assert (coupon.name, coupon.person, coupon.limits) == ("P8-17", "Pike", "pipe-coupon")
    assert coupon.joint.position is Position.FIXED_HORIZONTAL
    root, cap = coupon.passes
    assert (root.name, root.weld_pass, root.process) == ("root", WeldPass.ROOT, Process.GTAW)
    assert cap.settings.current_a == NumberSaid(value=112.0, expanded_uncertainty=4.0)
    assert [photo.kind for photo in cap.photos] == ["face", "light-line", "pair"]


def test_each_pass_becomes_what_the_library_is_asked(written, folder):
    order = coupon_order(written(), CameraBook())
    root, cap = order.passes
    assert [request.takes[0].kind for request in cap.requests] == [
        PhotoKind.FACE,
        PhotoKind.LIGHT_LINE,
        PhotoKind.PAIR,
    ]
    face, line, _ = cap.requests
    assert root.photos == (folder / "more/root.jpg",)
    # NPS 8 SCH 60 by ASME B36.10M: 219.1 mm by 10.31 mm (verified in public text).
    assert (face.coupon.outside_diameter_mm, face.coupon.wall_thickness_mm) == (219.1, 10.31)
    assert face.coupon.shape is Shape.PIPE
    assert face.along.start_px == (120.0, 840.0)
    assert line.step.thickness_mm == 5.0
    assert line.step.u_thickness_mm == 0.04 / COVERAGE_FACTOR
    assert line.step_places_px == {folder / "laser.jpg": (1200.0, 840.0)}
    assert isinstance(face.settings.arc, SteadyArc)
    assert face.settings.arc.current.expanded_uncertainty == pytest.approx(4.0, rel=1e-12)
    assert face.settings.travel.arc_time.value == 72.0
    assert order.text == COUPON


def test_a_pulsed_pass_and_how_it_is_judged(written):
    (request,) = coupon_order(written(text=PULSED), CameraBook()).passes[0].requests
    assert isinstance(request.settings.arc, PulsedArc)
    assert request.settings.arc.background.current.value == pytest.approx(36.0)
    assert request.coupon.pulse.peak_s == 0.5
    assert request.settings.wanted_overlap_ratio == 0.75
    assert (request.allowed.lowest_a, request.allowed.highest_a) == (90.0, 130.0)
    assert request.allowed.stated_by == "electrode"
    assert request.judging.rule is DecisionRule.NINETY_FIVE
    assert request.judging.system is LengthSystem.INCH


def test_a_depth_belongs_to_a_pass_in_the_groove(written):
    path = written("current_a = 105", "current_a = 105\ndepth_mm = [6.5, 0.8]")
    root, cap = coupon_order(path, CameraBook()).passes
    depth = root.requests[0].coupon.depth
    assert (depth.depth_mm, depth.u_depth_mm, depth.by) == (6.5, 0.4, DepthBy.ENTERED)
    assert root.requests[0].coupon.groove.angle_deg == 60.0
    assert cap.requests[0].coupon.depth is None


def test_pulse_times_that_nobody_confirmed_stay_unconfirmed(written):
    path = written('times_are = "seconds"\n', "", text=PULSED)
    (request,) = coupon_order(path, CameraBook()).passes[0].requests
    assert request.coupon.pulse is None
    assert request.coupon.panel_times.peak == 0.5


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('coupon = "P8-17"\n', "", ("coupon is missing",)),
        ('coupon = "P8-17"', "coupon = 17", ("line 2", "coupon is 17")),
        ("person", "persom", ("line 3", "persom", "person")),
        ("person", "welder_bench", ("line 3", "no key welder_bench", "Remove the line")),
        ('"NPS 8 SCH 60"', '"NPS 8 SCH 61"', ("line 4", "no schedule 61", "60")),
        ('"5G"', '"5g"', ("line 5", "position", '"5G"')),
        ('"up"', '"upp"', ("line 6", 'Write "up"')),
        ('"pipe-coupon"', '"pipe-cupon"', ("line 7", "limits", "beadcheck limits")),
        ('"pipe-coupon"', '"shop.toml"', ("line 7", "'shop.toml'", "not there")),
        ('form = "single-v"', 'form = "w"', ("line 10, groove", "form")),
        ("angle_deg = 60", "angle_deg = 600", ("line 11, groove", "0 to 180")),
        ("angle_deg", "angel_deg", ("line 11, groove", "Write angle_deg")),
        ("current_a = 105", "current_a = true", ("line 16, pass 1", "current_a is True")),
        ("current_a = 105", "current_a = 100_500", ("line 16, pass 1", "current_a")),
        ("current_a = 105", "current_a = 5000", ("pass 1", "5000 A")),
        ("current_a = 105", "currant_a = 105", ("line 16, pass 1", "Write current_a")),
        ("current_a = [112, 4]", "current_a = 112\ndepth_mm = 3", ("pass 2", "depth_mm means")),
        ("current_a = 105", "depth_mm = 300", ("pass 1", "cannot lie 300 mm")),
        ("current_a = 105", "power_w = 105\ncurrent_a = 1", ("pass 1", "cannot both be said")),
        ("current_a = [112, 4]", "current_a = [112, 0]", ("line 25, pass 2", "with its U")),
        ("current_a = [112, 4]\n", "", ("line 25, pass 2", "volts means nothing without")),
        ("arc_time_s = 72\n", "", ("line 27, pass 2", "run_length_mm means nothing without")),
        ('process = "smaw"', 'process = "smaw"\npeak_time = 1', ("pass 2", "background_time")),
        ('process = "smaw"', 'process = "gtaw-pulsed"', ("pass 2", "peak and a background")),
        ('"cap.jpg"', '"cup.jpg"', ("line 31, photo 2", "'cup.jpg'", "not there")),
        ('"cap.jpg"', '"../coupon.toml"', ("line 31, photo 2", "outside the folder")),
        ('"cap.jpg"', '"/etc/hostname"', ("line 31, photo 2", "outside the folder")),
        ('"cap.jpg"', '"more"', ("line 31, photo 2", "not there")),
        ('"cap.jpg"', '"a\\u0000b"', ("line 31, photo 2",)),
        ('"cap.jpg"', '"laser.jpg"', ("line 36, photo 3", "a second time")),
        ("along_px", "along", ("line 32, photo 2", "Write along_px")),
        ("[[120, 840], [2210, 905]]", "[[120, 840]]", ("line 32, photo 2", "two ends")),
        ('kind = "light-line"', 'kind = "lightline"', ("line 35, photo 3", '"light-line"')),
        ("step_mm = [5, 0.04]", "step_mm = 0.5", ("photo 3", "the edge of a card")),
        ("step_mm = [5, 0.04]\nstep_at_px = [1200, 840]\n", "", ("photo 3", "no height")),
        ("step_mm = [5, 0.04]", "light_angle_deg = 45", ("line 38, photo 3", "step_at_px")),
        ('["a.jpg", "b.jpg"]', '["a.jpg"]', ("photo 4", "two photos or more")),
        ('["a.jpg", "b.jpg"]', '["a.jpg", "c.jpg"]', ("line 42, photo 4", "'c.jpg'")),
        ('files = ["a.jpg", "b.jpg"]', "", ("photo 4", "file is missing")),
        ('pass = "root"', 'pass = "cap"', ("line 21, pass 2", "a pass 'cap' already")),
        ('pass = "root"\n', "", ("line 13, pass 1", "pass is missing")),
        ('pass = "root"', 'pass = "root"\nlayer = 0', ("line 15, pass 1", "layer is 0", "99")),
        ('pass = "root"', 'pass = "root"\nbead = 1.5', ("line 15, pass 1", "bead is 1.5")),
        ('pass = "root"', 'pass = "fit-up"\nbead = 1', ("pass 1", "nothing is welded yet")),
        ('pass = "root"', 'pass = "root"\npolarity = "dc"', ("line 15, pass 1", '"dcen"')),
        ('position = "5G"', 'position = "5G"\nsectors = 1', ("line 6", "sectors is 1", "72")),
        ('position = "5G"', 'position = "6G"\nstrip_side = "top"', ("line 6", '"high"')),
        ('file = "cap.jpg"', 'file = "cap.jpg"\nclock_deg = 400', ("line 32, photo 2", "360")),
        ('pass = "root"', 'pass = "rot"', ("line 14, pass 1", 'Write "root"')),
        ("[[pass.photo]]\nfile", "[pass.photo]\nfile", ("photo", "[[pass.photo]]")),
        ('"beadcheck-coupon/1"', '"beadcheck-coupon/2"', ("line 1", "beadcheck-coupon/1")),
        ('"beadcheck-coupon/1"', '"beadcheck-procedure/1"', ("procedure card", "procedure =")),
        ("[[pass]]", "[[pass]", ("line 13", "not valid TOML")),
    ],
)
def test_a_mistake_is_told_with_its_line_and_the_mend(written, old, new, words):
    with pytest.raises(InputFileError) as refused:
        coupon_order(written(old, new), CameraBook())
    said = str(refused.value)
    assert said.startswith("coupon.toml")
    assert "\n" not in said
    for word in words:
        assert word in said


def test_layers_and_beads_tell_passes_of_a_kind_apart(written):
    path = written('pass = "root"', 'pass = "cap"\nlayer = 4\nbead = 1\npolarity = "dcen"')
    first, second = coupon_order(path, CameraBook()).passes
    assert (first.part.name, second.part.name) == ("cap, layer 4, bead 1", "cap")
    coupon = first.requests[0].coupon
    assert (coupon.layer, coupon.bead, coupon.polarity) == (4, 1, Polarity.DCEN)


def test_sectors_strip_side_and_a_clock_by_hand_reach_what_is_measured(written):
    text = COUPON.replace('position = "5G"', 'position = "6G"\nstrip_side = "low"\nsectors = 8')
    text = text.replace('file = "cap.jpg"', 'file = "cap.jpg"\nclock_deg = 97.5')
    request = coupon_order(written(text=text), CameraBook()).passes[1].requests[0]
    assert (request.sectors, request.coupon.strip_side) == (8, StripSide.LOW)
    assert list(request.clocks_deg.values()) == [97.5]


def test_a_link_that_leads_outside_is_refused(written, folder, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "cap.jpg"
    elsewhere.write_bytes(b"never read")
    (folder / "cap.jpg").unlink()
    (folder / "cap.jpg").symlink_to(elsewhere)
    with pytest.raises(InputFileError, match="outside the folder"):
        read_coupon_file(written())


def test_a_position_of_pipe_on_a_plate_is_told(written):
    with pytest.raises(InputFileError, match=r"5G.*means nothing without pipe_size"):
        coupon_order(written('pipe_size = "NPS 8 SCH 60"\n', ""), CameraBook())


def test_a_file_without_photos_has_nothing_to_measure(written):
    text = COUPON[: COUPON.index("[[pass.photo]]")]
    path = written(text=text)
    assert len(read_coupon_file(path).passes) == 1
    with pytest.raises(NothingToMeasureError):
        coupon_order(path, CameraBook())


def test_photos_in_braces_are_read_too(written):
    text = COUPON[: COUPON.index("\n[[pass.photo]]")] + 'photo = [{file = "cap.jpg"}]\n'
    assert read_coupon_file(written(text=text)).passes[0].photos[0].files == ("cap.jpg",)
    with pytest.raises(InputFileError, match=r"line 13, photo 1: there is no key fiel"):
        read_coupon_file(written("file =", "fiel =", text=text))


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=150, deadline=None
)
@given(
    cut=st.integers(0, len(COUPON)),
    length=st.integers(0, 40),
    put=st.text(st.sampled_from('[]{}="\\,.\n#09atx_ \x00é'), max_size=12),
)
def test_any_text_gives_a_coupon_or_a_refusal_of_ours(written, cut, length, put):
    path = written(text=COUPON[:cut] + put + COUPON[cut + length :])
    with contextlib.suppress(BeadcheckError):
        coupon_order(path, CameraBook())
