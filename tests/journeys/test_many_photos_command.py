"""Many photos in one command: what is amiss costs itself alone, and what is done stays done."""

import json
import signal
import subprocess
import time
from collections import Counter
from pathlib import Path

import pytest
from photo_copies import photo_copies

from .conftest import COMMAND, run_script

SMALL = 0.25
"""Of the sides of a 12-megapixel photo: it is measured still, in half a second."""


def journal(folder: Path) -> list[dict[str, str]]:
    """Whole lines after the first."""
    path = folder / "journal.jsonl"
    text = path.read_text("utf-8") if path.exists() else ""
    return [json.loads(line) for line in text.split("\n")[1:-1]]


def test_bad_photos_are_named_and_good_ones_measured_as_if_alone(run, tmp_path):
    good, other = photo_copies(tmp_path / "day", 2, share=SMALL)
    whole = other.read_bytes()
    other.write_bytes(whole[: len(whole) // 2])
    (tmp_path / "day" / "text.jpg").write_bytes(b"This is no picture at all.\n" * 50)
    done = run("measure", "day", "--each", "--out", "out", "--jobs", 1, "--inch")
    assert done.returncode == 1
    assert "3 photos: 1 measured, 2 not measured, 0 failed." in done.stdout
    assert "qualified inspector" in done.stdout
    assert "3 of 3, 2 not measured" in done.stderr
    assert "Traceback" not in done.stderr
    for name in (other.name, "text.jpg"):
        assert name in done.stderr
    alone = run_script("measure", good, "--out", "alone", "--inch", cwd=tmp_path)
    assert alone.returncode == 0
    (folder,) = (
        tmp_path / "out" / each["folder"]
        for each in journal(tmp_path / "out")
        if each["outcome"] == "measured"
    )
    files = {path.name: path.read_bytes() for path in (tmp_path / "alone").iterdir()}
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == files


@pytest.mark.usefixtures("heeded_interrupts")
def test_stopped_and_killed_in_the_middle_it_goes_on_and_measures_every_photo_once(run, tmp_path):
    photo_copies(tmp_path / "day", 4, share=SMALL)
    words = ["measure", "day", "--each", "--out", "out", "--no-picture", "--jobs", "1"]

    def broken_off(how: signal.Signals) -> tuple[int, str]:
        """Start the command, and send it a signal once it has kept one more photo."""
        after = len(journal(tmp_path / "out")) + 1
        with subprocess.Popen(
            [COMMAND, *words], cwd=tmp_path, stderr=subprocess.PIPE, text=True
        ) as process:
            deadline = time.monotonic() + 300.0
            while len(journal(tmp_path / "out")) < after and process.poll() is None:
                assert time.monotonic() < deadline
                time.sleep(0.02)
            process.send_signal(how)
            _, said = process.communicate(timeout=60)
            return process.returncode, said

    code, said = broken_off(signal.SIGINT)
    assert code == 130
    assert "of 4 photos are done and kept; the same command goes on from there." in said
    assert "Traceback" not in said
    assert broken_off(signal.SIGKILL)[0] == -signal.SIGKILL
    done = run(*words, "--json")
    assert done.returncode == 0, done.stderr
    files = [json.loads(line)["file"] for line in done.stdout.splitlines()]
    assert sorted(files) == [f"photo-{number:04d}.jpg" for number in range(4)]
    assert [json.loads(line)["outcome"] for line in done.stdout.splitlines()] == ["measured"] * 4
    keys = Counter(each["key"] for each in journal(tmp_path / "out"))
    assert list(keys.values()) == [1, 1, 1, 1]
    assert not list((tmp_path / "out").glob(".*"))


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--each"], "--each means nothing without --out."),
        (["--jobs", "2"], "--jobs means nothing without --each."),
        (["--cluster", "tcp://a:1"], "--cluster means nothing without --each."),
        (["--each", "--out", "o", "--toes", "t.csv"], "--each and --toes cannot be given together"),
        (["--each", "--out", "o", "--sheet", "s.pdf"], "--each and --sheet cannot"),
        (["--each", "--out", "o", "--kind", "pair"], "--each and --kind pair cannot"),
        (["--each", "--out", "o", "--jobs", "2", "--cluster", "tcp://a:1"], "--cluster and --jobs"),
    ],
)
def test_what_makes_no_sense_of_many_photos_is_refused(run, tmp_path, words, sentence):
    (tmp_path / "a.jpg").write_bytes(b"a photo")
    done = run("measure", "a.jpg", *words)
    assert done.returncode == 2
    assert sentence in done.stderr
