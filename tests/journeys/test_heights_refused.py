"""Photos for heights that cannot give any: one clear sentence each, and nothing measured.

They are made from the samples: blurred, drawn on, cropped, or put together wrongly.
"""

import json

import cv2
import numpy as np
import pytest

from .heights import STEP, truth_of

SPREAD_PX = 20.0
"""Standard width, more than a millimetre, over which a laser out of focus spreads its line."""


def pixels_of(take, points_st_mm):
    """Where OpenCV projects points of the plate."""
    camera = truth_of(take)["camera"]
    turn, _ = cv2.Rodrigues(np.array(camera["R"]))
    points = np.column_stack([np.array(points_st_mm), np.zeros(len(points_st_mm))])
    px, _ = cv2.projectPoints(
        points, turn, np.array(camera["t"]), np.array(camera["K"]), np.zeros(5)
    )
    return px.reshape(-1, 2)


@pytest.fixture
def refused(run):
    """Measure, see that it fails with one sentence, and return the sentence."""

    def sentence(*arguments):
        done = run("measure", *arguments, "--json")
        assert done.returncode == 1, done.stderr
        document = json.loads(done.stdout)
        assert document["profiles"] == []
        assert "face_reinforcement" not in {q["name"] for q in document["quantities"]}
        assert "face_reinforcement" in {n["name"] for n in document["not_measured"]}
        problem = document["photos"][-1]["problems"][0]
        assert problem["message"] in done.stderr
        return problem["code"], problem["message"]

    return sentence


def test_a_line_out_of_focus_is_refused_with_its_width(refused, samples, tmp_path):
    picture = cv2.imread(str(samples / "plate-gmaw-light-line.jpg"))
    red = np.clip(picture[..., 2].astype(np.float64) - picture[..., 1] - 8.0, 0.0, None)
    lit = picture.astype(np.float64)
    lit[..., 2] += 3.0 * cv2.GaussianBlur(red, (0, 0), SPREAD_PX) - red
    cv2.imwrite(str(tmp_path / "soft.jpg"), np.clip(lit, 0, 255).astype(np.uint8))
    code, message = refused("soft.jpg", "--kind", "light-line", *STEP)
    assert code == "light_line_blurred"
    assert "at most 0.6 mm" in message


def test_a_line_without_slant_is_refused(refused, samples, tmp_path):
    """Light that comes from where the phone is: straight over plate, weld and key steel."""
    picture = cv2.imread(str(samples / "plate-gmaw-pair-a.jpg"))
    ends = pixels_of("plate pair", [(6.0, 36.0), (6.5, -46.0)])
    y, x = np.mgrid[: picture.shape[0], : picture.shape[1]].astype(np.float32)
    along = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    off = (x - ends[0, 0]) * along[1] - (y - ends[0, 1]) * along[0]
    red = 230.0 * np.exp(-0.5 * (off / 2.5) ** 2)[..., None] * np.array([0.1, 0.15, 1.0])
    lit = np.clip(picture + red, 0, 255).astype(np.uint8)
    cv2.imwrite(str(tmp_path / "upright.jpg"), lit, [cv2.IMWRITE_JPEG_QUALITY, 92])
    code, _ = refused("upright.jpg", "--kind", "light-line", *STEP)
    assert code == "light_no_slant"


def test_a_face_photo_without_a_line_of_light_is_refused(refused, samples):
    _, message = refused(
        samples / "plate-gtaw-pulsed.jpg", "--kind", "light-line", "--light-angle", "45,1"
    )
    assert "line of light" in message


def test_photos_of_two_coupons_are_no_pair(refused, samples):
    """Both with two strips, and both a stringer on a plate."""
    _, message = refused(
        samples / "plate-gmaw-pair-a.jpg", samples / "plate-gmaw-stringer.jpg", "--kind", "pair"
    )
    assert "coupon" in message


def test_a_side_on_photo_with_its_outline_cropped_away_is_refused(refused, samples, tmp_path):
    picture = cv2.imread(str(samples / "pipe-smaw-side-on.jpg"))
    lowest_px = np.array(truth_of("pipe side-on")["limb"]["silhouette_px"])[:, 1].max()
    cv2.imwrite(str(tmp_path / "cropped.jpg"), picture[int(lowest_px) + 40 :])
    _, message = refused("cropped.jpg", "--kind", "side-on", "--pipe", "NPS 8")
    assert "outline" in message


def test_a_weld_whose_flanks_something_hides_on_the_outline_is_refused(refused, samples, tmp_path):
    """What lies far over the outline covers all of the weld there but the middle two fifths."""
    picture = cv2.imread(str(samples / "pipe-smaw-side-on.jpg"))
    limb = truth_of("pipe side-on")["limb"]
    t_mm, bare_px = np.array(limb["t_mm"]), np.array(limb["bare_limb_px"])
    low_mm, high_mm = limb["toe_lo_t_mm"], limb["toe_hi_t_mm"]
    over_px = 4.0 * limb["px_per_mm_at_limb"]
    mask = np.zeros(picture.shape[:2], np.uint8)
    for first, last in ((-0.1, 0.3), (0.7, 1.1)):
        share = (t_mm - low_mm) / (high_mm - low_mm)
        along_px = bare_px[(share > first) & (share < last)]
        upper_px = along_px + over_px * np.array(limb["up_in_image"])
        flank = np.concatenate([along_px, upper_px[::-1]])
        cv2.fillPoly(mask, [np.round(flank).astype(np.int32)], 255)
    beyond = np.roll(picture, round(2.0 * over_px), axis=0)
    cv2.imwrite(str(tmp_path / "hidden.jpg"), np.where(mask[..., None] > 0, beyond, picture))
    code, message = refused("hidden.jpg", "--kind", "side-on", "--pipe", "NPS 8")
    assert code == "outline_hidden"
    assert "face is 12 mm wide" in message  # 11.5 mm in truth
