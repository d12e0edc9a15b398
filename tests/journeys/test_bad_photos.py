"""Photos that cannot be measured: one sentence each, exit code 1, nothing half-written."""

import json
import struct
import zlib

import numpy as np
import pytest
from PIL import Image

from beadcheck.result import result_from_json

RNG_SEED = 20260214
BARE_HINT = " If the photo shows no target, use --no-target."


def _noise(width_px: int = 640, height_px: int = 480) -> Image.Image:
    rng = np.random.default_rng(RNG_SEED)
    coarse = rng.integers(60, 180, (height_px // 16, width_px // 16, 3), dtype=np.uint8)
    return Image.fromarray(coarse).resize((width_px, height_px), Image.Resampling.BICUBIC)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _huge_header() -> bytes:
    """A PNG (W3C PNG, 11.2.2) whose header promises 60 000 x 60 000 pixels."""
    header = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    data = _chunk(b"IHDR", header) + _chunk(b"IDAT", zlib.compress(b"\0" * 64))
    return b"\x89PNG\r\n\x1a\n" + data + _chunk(b"IEND", b"")


@pytest.fixture
def bad_photos(tmp_path):
    folder = tmp_path / "bad"
    folder.mkdir()
    photo = _noise()
    photo.save(folder / "no-target.jpg")
    photo.convert("CMYK").save(folder / "cmyk.jpg")
    Image.fromarray(np.full((480, 640), 30_000, np.uint16)).save(folder / "sixteen-bit.png")
    photo.save(folder / "moving.png", save_all=True, append_images=[photo.rotate(90)], duration=100)
    Image.new("RGB", (1, 1)).save(folder / "one-pixel.png")
    (folder / "huge.png").write_bytes(_huge_header())
    (folder / "empty.jpg").write_bytes(b"")
    (folder / "text.jpg").write_bytes(b"This is no picture at all.\n" * 50)
    whole = (folder / "no-target.jpg").read_bytes()
    (folder / "truncated.jpg").write_bytes(whole[: len(whole) // 2])
    return folder


def test_each_bad_photo_is_refused_in_one_sentence_and_the_result_still_says_why(
    run, tmp_path, bad_photos
):
    done = run("measure", "bad", "--out", "out", "--json")
    names = sorted(path.name for path in bad_photos.iterdir())
    assert done.returncode == 1
    lines = done.stderr.splitlines()
    assert len(lines) == len(names), done.stderr
    result = result_from_json(done.stdout)
    assert [photo.file for photo in result.photos] == names
    for line, photo in zip(lines, result.photos, strict=True):
        problem = photo.problems[0]
        assert not photo.usable
        # Only the command can name its own flag, and only where it helps.
        said = line.removesuffix(BARE_HINT) if problem.code == "no_marker" else line
        assert said in (problem.message, f"{photo.file}: {problem.message}")
        assert line.count(photo.file) == 1
        assert problem.message.endswith(".")
        assert "{" not in problem.message
    assert result.quantities == ()
    assert result.stations == ()
    written = json.loads((tmp_path / "out" / "result.json").read_text("utf-8"))
    assert written == json.loads(done.stdout)
    assert not any(path.name.startswith(".") for path in (tmp_path / "out").iterdir())


def test_a_single_bad_photo_leaves_one_sentence_and_the_caution(run, bad_photos):
    done = run("measure", bad_photos / "text.jpg")
    assert done.returncode == 1
    assert len(done.stderr.splitlines()) == 1
    assert "qualified inspector" in done.stdout
