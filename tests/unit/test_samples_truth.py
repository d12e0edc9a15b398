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


def test_there_are_eight_photos_each_with_its_truth() -> None:
    assert len(PHOTOS) == 8
    assert sorted(p.stem for p in (SAMPLES / "truth").glob("*.json")) == [p.stem for p in PHOTOS]


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
    assert sorted(orientations) == [1] * 7 + [6]


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
    # over four corners and over the markers, come within a quarter of a pixel.
    assert np.abs(np.mean(offsets, axis=0)).max() < 0.25
