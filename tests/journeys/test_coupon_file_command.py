"""A coupon file in place of photos: each pass is measured, shown, written and saved."""

import json
import shutil

import pytest

PHOTO = "plate-gtaw-pulsed.jpg"
COUPON = f"""\
format = "beadcheck-coupon/1"
coupon = "row of spots"
person = "Tern"

[[pass]]
pass = "root"
process = "gtaw"

[[pass]]
name = "cap: second run"
pass = "cap"
process = "gtaw-pulsed"
peak_time = 0.5
background_time = 0.5
times_are = "seconds"

[[pass.photo]]
file = "{PHOTO}"
"""


@pytest.fixture
def folder(tmp_path, samples):

    shutil.copy(samples / PHOTO, tmp_path / PHOTO)
    (tmp_path / "coupon.toml").write_text(COUPON, "utf-8")
    return tmp_path


def test_a_pass_is_measured_as_its_flags_would(run, folder):
    done = run("measure", "coupon.toml", "--json", "--save", "--out", "o")
    assert done.returncode == 0, done.stderr
    (result,) = json.loads(done.stdout)
    times = ("--peak-time", "0.5", "--background-time", "0.5")
    flags = run("measure", PHOTO, "--process", "gtaw-pulsed", "--pass", "cap", *times, "--json")
    assert result == json.loads(flags.stdout)
    assert "Pass 'root' has no photo" in done.stderr
    assert "Saved as number 1: Tern, row of spots, cap: second run." in done.stderr
    written = folder / "o" / "cap-second-run" / "result.json"
    assert json.loads(written.read_text("utf-8")) == result
    assert run("log", "show", "1", "--coupon-file").stdout == COUPON + "\n"
