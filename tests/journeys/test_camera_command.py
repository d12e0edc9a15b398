"""A phone is calibrated once from photos of the card, and used, shown and forgotten."""

import json
import shutil

import pytest
from numpy.testing import assert_allclose
from PIL import Image

from .conftest import run_command

PHONE = "bench-phone"
NAME = "Harrow Quay bench phone 26 mm"


@pytest.fixture(scope="module", name="calibrated")
def _calibrated(tmp_path_factory, samples):
    """A folder where the sample phone was calibrated, and what the command said."""
    folder = tmp_path_factory.mktemp("calibrated")
    return folder, run_command("camera", samples / PHONE, "--json", cwd=folder)


def test_the_sample_phone_comes_out_as_it_was_made(calibrated, samples):
    folder, done = calibrated
    assert done.returncode == 0, done.stderr
    record = json.loads(done.stdout)
    camera = json.loads((samples / PHONE / "truth.json").read_text())["camera"]
    (focal, _, x), (_, _, y), _ = camera["K"]
    assert abs(record["focal_px"] - focal) <= 2.0 * record["u_focal_px"]
    assert_allclose(record["centre_px"], (x, y), atol=2.0 * record["u_centre_px"])
    k1, k2, *_ = camera["dist_k1_k2_p1_p2_k3"]
    assert abs(record["k1"] - k1) <= 2.0 * record["u_k1"]
    assert abs(record["k2"] - k2) <= 2.0 * record["u_k2"]
    assert (record["make"], record["model"]) == ("Harrow Quay", "bench phone")
    # One of them lies on its side in its file: it is read in the sensor's frame as the others.
    assert [photo["used"] for photo in record["photos"]] == [True] * 6
    assert max(photo["residual_px"] for photo in record["photos"]) < 0.1
    (kept,) = (folder / "cameras").iterdir()
    assert record["stored"] == str(kept)
    assert str(kept) in done.stderr


def test_people_read_a_line_for_each_photo_and_u_of_each_figure(run, samples):
    done = run("camera", samples / PHONE, "--name", "Tern's phone", "--store", "mine")
    assert done.returncode == 0, done.stderr
    assert all(f"card-{k}.jpg" in done.stdout for k in range(1, 7))
    assert "Tern's phone, " in done.stdout
    assert "focal length, px" in done.stdout
    assert "±" in done.stdout
    assert "refocuses" in done.stdout
    assert "Tern's phone" in run("camera", "--store", "mine").stdout
    assert "No camera is stored" in run("camera").stdout


def test_a_stored_camera_is_listed_and_shown(calibrated):
    folder, done = calibrated
    assert NAME in run_command("camera", cwd=folder).stdout
    (listed,) = json.loads(run_command("camera", "--json", cwd=folder).stdout)
    shown = json.loads(run_command("camera", "--show", NAME, "--json", cwd=folder).stdout)
    record = json.loads(done.stdout)
    assert listed == shown == {key: record[key] for key in shown}
    assert "distortion k1" in run_command("camera", "--show", NAME, cwd=folder).stdout


def test_photos_from_it_are_measured_with_it_and_say_so(calibrated, samples):
    folder, done = calibrated
    photo = samples / PHONE / "card-2.jpg"
    day = json.loads(done.stdout)["calibrated_on"]
    for arguments, camera in (((), f"{NAME}, {day}"), (("--no-camera",), None)):
        # The card lies on nothing, so that no weld is found; its surface is solved all the same.
        measured = run_command("measure", photo, "--json", *arguments, cwd=folder)
        assert measured.returncode == 1
        (record,) = json.loads(measured.stdout)["photos"]
        assert record["camera"] == camera


def test_a_forgotten_camera_is_gone(run, tmp_path, calibrated):
    shutil.copytree(calibrated[0] / "cameras", tmp_path / "cameras")
    forgotten = run("camera", "--forget", NAME)
    assert (forgotten.returncode, forgotten.stdout) == (0, "")
    again = run("camera", "--forget", NAME)
    assert again.returncode == 2
    assert "None is stored yet" in again.stderr


def test_a_broken_file_is_told_with_its_line(run, tmp_path, samples, calibrated):
    shutil.copytree(calibrated[0] / "cameras", tmp_path / "cameras")
    (kept,) = (tmp_path / "cameras").iterdir()
    kept.write_text(kept.read_text().replace("k1 = ", 'k1 = "soft" # ', 1))
    broken = run("measure", samples / PHONE / "card-1.jpg")
    assert (broken.returncode, broken.stdout) == (2, "")
    (line,) = broken.stderr.splitlines()
    assert f"{kept.name}, line " in line
    assert "k1 is 'soft'" in line
    assert "k1 is 'soft'" in run("camera").stderr


def test_too_few_photos_are_one_sentence_and_store_nothing(run, tmp_path, samples):
    done = run("camera", *(samples / PHONE / f"card-{k}.jpg" for k in range(1, 5)))
    assert (done.returncode, done.stdout) == (1, "")
    (line,) = done.stderr.splitlines()
    assert "4 photos only; 5 are needed" in line
    assert not (tmp_path / "cameras").exists()


def test_photos_that_do_not_name_their_camera_are_calibrated_but_not_stored(run, tmp_path, samples):
    for number in range(1, 7):
        with Image.open(samples / PHONE / f"card-{number}.jpg") as photo:
            photo.save(tmp_path / f"{number}.png")
    done = run("camera", *sorted(tmp_path.glob("*.png")), "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["stored"] is None
    assert "Not stored" in done.stderr
    assert not (tmp_path / "cameras").exists()
