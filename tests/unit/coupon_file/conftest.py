"""A folder with a coupon file and what it names."""

from pathlib import Path

import pytest

PHOTOS = ("cap.jpg", "side.jpg", "laser.jpg", "a.jpg", "b.jpg", "more/root.jpg")
COUPON = """\
format = "beadcheck-coupon/1"
coupon = "P8-17"
person = "Pike"
pipe_size = "NPS 8 SCH 60"
position = "5G"
progression = "up"
limits = "pipe-coupon"

[groove]
form = "single-v"
angle_deg = 60

[[pass]]
pass = "root"
process = "gtaw"
current_a = 105

[[pass.photo]]
file = "more/root.jpg"

[[pass]]
pass = "cap"
process = "smaw"
filler = "3.2 mm low-hydrogen"
current_a = [112, 4]
volts = 23
run_length_mm = 120
arc_time_s = 72

[[pass.photo]]
file = "cap.jpg"
along_px = [[120, 840], [2210, 905]]

[[pass.photo]]
kind = "light-line"
file = "laser.jpg"
step_mm = [5, 0.04]
step_at_px = [1200, 840]

[[pass.photo]]
kind = "pair"
files = ["a.jpg", "b.jpg"]
"""


@pytest.fixture
def folder(tmp_path) -> Path:
    """Photos that nobody looks into."""
    (tmp_path / "more").mkdir()
    for name in PHOTOS:
        (tmp_path / name).write_bytes(b"never read")
    return tmp_path


@pytest.fixture
def written(folder):
    """Write a coupon file with one piece of the text replaced by another."""

    def write(old: str = "", new: str = "", *, text: str = COUPON) -> Path:
        assert old in text
        path = folder / "coupon.toml"
        path.write_text(text.replace(old, new, 1), "utf-8")
        return path

    return write
