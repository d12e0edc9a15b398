"""The samples' truth agrees with itself, and the photos hold nothing that they should not."""

import json
import tomllib
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from numpy.testing import assert_allclose
from numpy.typing import NDArray
from PIL import ExifTags, Image

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "samples"
CALIBRATION = ROOT / "calibration"
PHOTOS = sorted(SAMPLES.glob("*.jpg"))
WELDS = [path for path in PHOTOS if path.stem != "plate-no-weld"]
LIGHT_LINES = [path for path in PHOTOS if "light-line" in path.stem]
COUPONS = {
    "plate-gmaw": [path for path in LIGHT_LINES if path.stem.startswith("plate")]
    + [SAMPLES / f"plate-gmaw-pair-{letter}.jpg" for letter in "ab"],
    "pipe-smaw": [
        SAMPLES / f"pipe-smaw-{way}.jpg" for way in ("side-on", "light-line", "pair-a", "pair-b")
    ],
}
"""Photos for heights of one coupon each."""
SIDE_ON = SAMPLES / "pipe-smaw-side-on.jpg"
FULL_FRAME_DIAGONAL_MM = 43.2666  # 36 mm by 24 mm, what "35 mm equivalent" refers to
ROUNDING_MM = 1e-4  # of the lengths in the truth files
STORED_PX = 0.006  # mm are stored to 4 decimals, at up to 40 px/mm


def truth_of(photo: Path) -> dict[str, Any]:
    return json.loads((SAMPLES / "truth" / f"{photo.stem}.json").read_text(encoding="utf-8"))


def numbers(values: Any) -> NDArray[np.float64]:
    return np.array(values, dtype=np.float64)  # None becomes NaN


def in_space(truth: dict[str, Any], stz_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """The README's equation of the pipe, written out again."""
    radius = truth["surface"]["radius_mm"]
    if radius is None:
        return stz_mm
    s, t, z = stz_mm.T
    return np.stack(
        [(radius + z) * np.sin(s / radius), t, (radius + z) * np.cos(s / radius) - radius], axis=1
    )


def seen_by_opencv(truth: dict[str, Any], xyz_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    camera = truth["camera"]
    turn, _ = cv2.Rodrigues(numbers(camera["R"]))
    px, _ = cv2.projectPoints(
        xyz_mm, turn, numbers(camera["t"]), numbers(camera["K"]),
        numbers(camera["dist_k1_k2_p1_p2_k3"]),
    )  # fmt: skip
    return np.asarray(px, dtype=np.float64).reshape(-1, 2)


def linear_light(photo: Path) -> NDArray[np.float32]:
    """The photo's light, sRGB undone, in OpenCV's channel order."""
    code = cv2.imread(str(photo))
    assert code is not None
    table = np.arange(256) / 255
    table = np.where(table <= 0.04045, table / 12.92, ((table + 0.055) / 1.055) ** 2.4)
    return np.asarray(table.astype(np.float32)[code])


def test_there_are_sixteen_photos_each_with_its_truth() -> None:
    assert len(PHOTOS) == 16
    assert {p.stem for p in (SAMPLES / "truth").glob("*.json")} == {p.stem for p in PHOTOS}


def test_the_photos_together_stay_below_25_megabytes() -> None:
    assert sum(path.stat().st_size for path in SAMPLES.rglob("*") if path.is_file()) < 25e6


def test_one_photo_has_twelve_megapixels() -> None:
    sizes = [tuple(truth_of(photo)["image_size"]) for photo in PHOTOS]
    assert (4032, 3024) in sizes
    assert all(3e6 <= width * height <= 12.2e6 for width, height in sizes)


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda p: p.stem)
def test_exif_tells_focal_length_and_orientation_but_neither_place_nor_maker(photo: Path) -> None:
    truth = truth_of(photo)
    with Image.open(photo) as picture:
        exif = picture.getexif()
        size = picture.size
    details = exif.get_ifd(ExifTags.IFD.Exif)
    assert not exif.get_ifd(ExifTags.IFD.GPSInfo)
    assert ExifTags.Base.Make not in exif
    assert details[ExifTags.Base.FocalLengthIn35mmFilm] == round(truth["camera"]["focal_equiv_mm"])
    turned = exif[ExifTags.Base.Orientation] == 6
    assert list(size[::-1] if turned else size) == truth["image_size"]


def test_one_photo_is_stored_on_its_side() -> None:
    orientations = []
    for photo in PHOTOS:
        with Image.open(photo) as picture:
            orientations.append(picture.getexif()[ExifTags.Base.Orientation])
    assert sorted(orientations) == [1] * 15 + [6]


@pytest.mark.parametrize("photo", WELDS, ids=lambda p: p.stem)
@pytest.mark.parametrize("side", ["lo", "hi"])
def test_opencv_projects_the_toes_to_the_stored_pixels(photo: Path, side: str) -> None:
    truth = truth_of(photo)
    toes = truth["weld"]["toes"]
    s, t, px = numbers(toes["s_mm"]), numbers(toes[f"{side}_t_mm"]), numbers(toes[f"{side}_px"])
    there = np.array(toes["in_view"], dtype=bool)
    assert there.sum() > 200
    xyz = in_space(truth, np.stack([s, t, np.zeros_like(s)], axis=1)[there])
    assert_allclose(seen_by_opencv(truth, xyz), px[there], atol=STORED_PX)


@pytest.mark.parametrize("photo", WELDS, ids=lambda p: p.stem)
def test_points_in_view_lie_in_the_picture_and_face_the_camera(photo: Path) -> None:
    truth = truth_of(photo)
    toes = truth["weld"]["toes"]
    there = np.array(toes["in_view"], dtype=bool)
    width, height = truth["image_size"]
    for side in ("lo", "hi"):
        px = numbers(toes[f"{side}_px"])[there]
        assert (px > -0.5).all()
        assert (px < [width - 0.5, height - 0.5]).all()
    radius = truth["surface"]["radius_mm"]
    if radius is not None:
        eye = numbers(truth["camera"]["eye_mm"])
        angle = numbers(toes["s_mm"])[there] / radius
        normal = np.stack([np.sin(angle), np.zeros_like(angle), np.cos(angle)], axis=1)
        foot = normal * radius - [0, 0, radius]
        foot[:, 1] = numbers(toes["lo_t_mm"])[there]
        line = (eye - foot) / np.linalg.norm(eye - foot, axis=1, keepdims=True)
        rise_deg = np.degrees(np.arcsin((line * normal).sum(axis=1)))
        assert rise_deg.min() > 29.9


@pytest.mark.parametrize("photo", WELDS, ids=lambda p: p.stem)
def test_the_width_statistics_follow_from_the_toe_lines(photo: Path) -> None:
    weld = truth_of(photo)["weld"]
    toes, (first, last) = weld["toes"], weld["body_s_range_mm"]
    s = numbers(toes["s_mm"])
    width = numbers(toes["hi_t_mm"]) - numbers(toes["lo_t_mm"])
    body = width[
        (s > first - ROUNDING_MM) & (s < last + ROUNDING_MM) & np.array(toes["in_view"], dtype=bool)
    ]
    stated = weld["width_mm"]["body_in_view"]
    assert stated["n"] == len(body)
    got = [body.mean(), body.std(), body.min(), body.max()]
    # two toes, each stored to 0.0001 mm
    assert_allclose(got, [stated[k] for k in ("mean", "sd", "min", "max")], atol=2e-4)


@pytest.mark.parametrize("photo", WELDS, ids=lambda p: p.stem)
def test_the_ripple_spacing_follows_from_the_crests(photo: Path) -> None:
    weld = truth_of(photo)["weld"]
    first, last = weld["body_s_range_mm"]
    for ripples in weld["ripples"]:
        s, there = numbers(ripples["crest_s_mm"]), np.array(ripples["in_view"], dtype=bool)
        body = there & (s > first - ROUNDING_MM) & (s < last + ROUNDING_MM)
        gaps = np.diff(s)[body[1:] & body[:-1]]
        stated = ripples["spacing_body_in_view_mm"]
        assert stated["n"] == len(gaps) > 20
        assert_allclose([gaps.mean(), gaps.std()], [stated["mean"], stated["sd"]], atol=2e-4)


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda p: p.stem)
def test_opencv_projects_the_marker_corners_to_the_stored_pixels(photo: Path) -> None:
    truth = truth_of(photo)
    markers = [m for m in truth["markers"] if m["in_view"]]
    assert bool(markers) == (photo.stem != "plate-smaw-no-target")
    for marker in markers:
        px = seen_by_opencv(truth, numbers(marker["corners_xyz_mm"]))
        assert_allclose(px, numbers(marker["corners_px"]), atol=STORED_PX)


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda p: p.stem)
def test_the_markers_are_those_of_the_shipped_target_files(photo: Path) -> None:
    truth = truth_of(photo)
    for marker in truth["markers"]:
        card = truth["cards"][marker["card"]]
        design = tomllib.loads((CALIBRATION / card["target_file"]).read_text(encoding="utf-8"))
        nominal = {m["id"]: m["corners_mm"] for m in design["marker"]}
        assert_allclose(marker["corners_card_mm"], nominal[marker["id"]], atol=1e-4)


@pytest.mark.parametrize("photo", PHOTOS, ids=lambda p: p.stem)
def test_opencv_finds_the_markers_in_the_photo_where_the_truth_says(photo: Path) -> None:
    truth = truth_of(photo)
    markers = {m["id"]: numbers(m["corners_px"]) for m in truth["markers"] if m["in_view"]}
    if not markers:
        pytest.skip("a photo without a target")
    picture = cv2.imread(str(photo), cv2.IMREAD_GRAYSCALE)  # turned upright by its EXIF
    assert picture is not None
    assert list(picture.shape[::-1]) == truth["image_size"]
    book = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, truth["card"]["dictionary"]))
    found, ids, _ = cv2.aruco.ArucoDetector(book).detectMarkers(picture)
    offsets = [
        (corners[0] - markers[k]).mean(axis=0)
        for corners, k in zip(found, ids.ravel().tolist(), strict=True)
        if k in markers
    ]
    assert len(offsets) >= 0.6 * len(markers)
    # The middle of a marker does not feel the shift of its edges: whole-pixel corners, averaged
    # over four corners and over the markers, come within a quarter of a pixel. Side-on, most
    # markers stand nearer than what is in focus, and their corners spread over some pixels.
    assert np.abs(np.mean(offsets, axis=0)).max() < (1.0 if photo == SIDE_ON else 0.25)


def test_opencv_projects_the_points_of_the_side_on_outline_to_the_stored_pixels() -> None:
    truth = truth_of(SIDE_ON)
    outline = truth["limb"]
    stz = np.stack(
        [numbers(outline[f"silhouette_{k}_mm"]) for k in ("s", "t")]
        + [numbers(outline["z_at_silhouette_mm"])],
        axis=1,
    )
    px = seen_by_opencv(truth, in_space(truth, stz))
    # The search for the outline goes by 0.05 mm along the sight: where two ripples share it, the
    # point may lie on either.
    assert_allclose(px, numbers(outline["silhouette_px"]), atol=0.12)
    bare = np.stack(
        [np.full(len(stz), outline["s_limb_mm"]), numbers(outline["t_mm"]), np.zeros(len(stz))],
        axis=1,
    )
    bare_px = numbers(outline["bare_limb_px"])
    assert_allclose(seen_by_opencv(truth, in_space(truth, bare)), bare_px, atol=STORED_PX)


def test_the_side_on_photo_changes_from_wall_to_weld_where_the_truth_says() -> None:
    truth = truth_of(SIDE_ON)
    picture = linear_light(SIDE_ON).mean(axis=2)
    outline = truth["limb"]
    up = numbers(outline["up_in_image"])
    up /= np.linalg.norm(up)
    px = numbers(outline["silhouette_px"])[np.array(outline["on"]) == "bead"]
    out = np.arange(-8.0, 8.01, 0.5)
    places = px[:, None] + out[None, :, None] * up
    light = cv2.remap(picture, places.astype(np.float32), None, cv2.INTER_LINEAR).mean(axis=0)
    metal, wall = light[:6].mean(), light[-6:].mean()
    assert wall > 1.5 * metal
    half = np.interp(0.5 * (metal + wall), light, out)
    # Ripples and shading beside the edge move its 50 % point by a few tenths of a pixel.
    assert abs(half) < 0.5


@pytest.mark.parametrize("photo", LIGHT_LINES, ids=lambda p: p.stem)
def test_the_light_lines_points_lie_in_its_sheet_and_where_opencv_projects_them(
    photo: Path,
) -> None:
    truth = truth_of(photo)
    line = truth["laser"]
    there = np.array(line["in_view"], dtype=bool) & np.array(line["lit"], dtype=bool)
    stz = np.stack([numbers(line[f"{k}_mm"])[there] for k in ("s", "t", "z")], axis=1)
    xyz = in_space(truth, stz)
    point, normal = numbers(line["sheet_point_mm"]), numbers(line["sheet_normal"])
    off = (xyz - point) @ normal
    assert np.abs(off).max() < line["residual_mm"] + 2 * ROUNDING_MM
    assert_allclose(seen_by_opencv(truth, xyz), numbers(line["line_px"])[there], atol=STORED_PX)
    on = np.array(line["on"])[there]
    # A flat block on a pipe stands higher beside the line where it touches: by x² / 2R.
    step = truth["step"]
    beside_mm = np.abs(stz[on == "step", 0] - step["middle_st_mm"][0]).max()
    radius = truth["surface"]["radius_mm"] or np.inf
    rise_mm = beside_mm**2 / (2 * radius)
    assert_allclose(stz[on == "step", 2], step["thickness_mm"], atol=rise_mm + ROUNDING_MM)
    # Beside the toes lie the fillet and an undercut.
    toes = [line["toe_lo_t_mm"], line["toe_hi_t_mm"]]
    bare = (
        (on == "base") & (np.abs(stz[:, 1] - toes[0]) > 2.5) & (np.abs(stz[:, 1] - toes[1]) > 2.5)
    )
    assert_allclose(stz[bare, 2], 0.0, atol=2e-3)
    out = np.array([0.0, 0.0, 1.0])
    if radius < np.inf:
        out = np.array([point[0], 0.0, point[2] + radius]) / radius
    lean_deg = np.degrees(np.arcsin(abs(normal @ out)))
    assert_allclose(lean_deg, line["angle_from_normal_deg"], atol=1e-3)


@pytest.mark.parametrize("name", ["plate-gmaw-light-line", "pipe-smaw-light-line"])
def test_the_laser_is_red_where_the_truth_says(name: str) -> None:
    photo = SAMPLES / f"{name}.jpg"
    truth = truth_of(photo)
    picture = linear_light(photo)
    # OpenCV's order is blue, green, red. Where red is full, green shows how the line spreads.
    red = picture[..., 2] + picture[..., 1]
    line = truth["laser"]
    there = np.array(line["in_view"], dtype=bool) & np.array(line["lit"], dtype=bool)
    for on in ("base", "step"):
        chosen = there & (np.array(line["on"]) == on)
        px = numbers(line["line_px"])
        along = np.gradient(px, axis=0)[chosen]
        px, across = px[chosen], np.stack([-along[:, 1], along[:, 0]], axis=1)
        length = np.linalg.norm(across, axis=1)
        inner = (length > 0) & (length < 4)  # not beside the step, where the line jumps
        across = across[inner] / length[inner, None]
        off = np.arange(-10.0, 10.01, 0.5)
        places = px[inner][:, None] + off[None, :, None] * across[:, None]
        light = cv2.remap(red, places.astype(np.float32), None, cv2.INTER_LINEAR)
        mean = light.mean(axis=0)  # over the line's length, for speckle
        mean = mean - mean[[0, -1]].mean()
        assert mean.max() > 0.1
        core = np.abs(off) < 7
        centre = (mean * off)[core].sum() / mean[core].sum()
        assert abs(centre) < 0.15


@pytest.mark.parametrize("coupon", COUPONS)
def test_the_four_photos_for_heights_of_a_coupon_show_one_weld(coupon: str) -> None:
    truths = [truth_of(photo) for photo in COUPONS[coupon]]
    assert len(truths) == 4
    first = truths[0]["weld"]["toes"]
    for truth in truths:
        assert truth["coupon"] == coupon
        assert truth["weld"]["toes"]["hi_t_mm"] == first["hi_t_mm"]
        if truth["kind"] != "side-on":
            assert truth["step"]["thickness_mm"] == 5.0


@pytest.mark.parametrize("coupon", COUPONS)
def test_a_pair_is_taken_from_places_10_to_25_degrees_apart(coupon: str) -> None:
    towards = []
    for letter in "ab":
        camera = truth_of(SAMPLES / f"{coupon}-pair-{letter}.jpg")["camera"]
        line = numbers(camera["eye_mm"]) - numbers(camera["target_mm"])
        towards.append(line / np.linalg.norm(line))
    angle = np.degrees(np.arccos(towards[0] @ towards[1]))
    assert 10 < angle < 25


def test_the_light_crosses_the_pipes_weld_where_its_outline_was_seen() -> None:
    line = truth_of(SAMPLES / "pipe-smaw-light-line.jpg")["laser"]
    on_bead = np.array(line["on"]) == "bead"
    outline = truth_of(SIDE_ON)["limb"]
    clock_deg = np.degrees(
        (numbers(line["s_mm"])[on_bead] - outline["s_limb_mm"])
        / truth_of(SIDE_ON)["surface"]["radius_mm"]
    )
    assert np.abs(clock_deg).max() < 3.0
