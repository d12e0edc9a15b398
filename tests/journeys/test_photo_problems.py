"""What is wrong with a photo stands in the result of the command, whether it is measured or not."""

import cv2
import pytest

from beadcheck.result import result_from_json

PX_PER_MM = 19.1
"""Of the sample."""


@pytest.fixture
def spoilt(samples, tmp_path):
    """Write the sample, spoilt, and name the file."""

    def write(name, change):
        pixels = cv2.imread(str(samples / "plate-gmaw-stringer.jpg"))
        cv2.imwrite(str(tmp_path / name), change(pixels))
        return name

    return write


def test_a_soft_photo_is_measured_and_called_blurred(run, spoilt):
    name = spoilt("soft.png", lambda pixels: cv2.GaussianBlur(pixels, (0, 0), 0.3 * PX_PER_MM))
    done = run("measure", name, "--json")
    (photo,) = result_from_json(done.stdout).photos
    assert done.returncode == 0, done.stderr
    assert photo.usable
    assert [problem.code for problem in photo.problems] == ["blurred"]
    assert "focus" in photo.problems[0].message


def test_a_refusal_comes_first_and_then_what_may_have_caused_it(run, spoilt):
    name = spoilt("soft.png", lambda pixels: cv2.GaussianBlur(pixels, (0, 0), 2.0 * PX_PER_MM))
    done = run("measure", name, "--json")
    (photo,) = result_from_json(done.stdout).photos
    assert done.returncode == 1
    assert not photo.usable
    codes = [problem.code for problem in photo.problems]
    assert codes[0] in {"no_marker", "too_few_markers", "target_blurred"}
    assert "blurred" in codes or codes == ["target_blurred"]


def test_good_samples_have_no_problems(run, samples):
    done = run("measure", samples / "plate-gtaw-pulsed.jpg", "--json")
    (photo,) = result_from_json(done.stdout).photos
    assert photo.problems == ()
