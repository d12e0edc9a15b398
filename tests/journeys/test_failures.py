"""Whatever fails is one sentence with its mend; details of the unforeseen go to a file."""

import os
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import pytest

from beadcheck.cli.failures import exit_code_of
from beadcheck.coupon import PulseTimes, TimesAre
from beadcheck.errors.bead import NoWeldFoundError
from beadcheck.errors.command import NoPhotoGivenError
from beadcheck.report.weld_lines import WeldLines

from .conftest import COMMAND, run_script


def test_a_missing_system_library_of_opencv_is_said_with_the_mend(tmp_path):
    broken = tmp_path / "broken"
    broken.mkdir()
    # What the system's loader says, word for word (glibc's dlopen).
    message = "libGL.so.1: cannot open shared object file: No such file or directory"
    (broken / "cv2.py").write_text(f"raise ImportError({message!r})\n", "utf-8")
    (tmp_path / "coupon.jpg").write_bytes(b"never read")
    done = run_script("measure", "coupon.jpg", cwd=tmp_path, PYTHONPATH=str(broken))
    assert done.returncode == 1
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1
    assert "libGL.so.1" in done.stderr
    assert "apt-get install libgl1 libglib2.0-0" in done.stderr


def test_a_reader_that_has_gone_is_no_failure(tmp_path):
    with subprocess.Popen(
        [COMMAND, "measure", "--schema"],
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=dict(os.environ),
    ) as process:
        process.stdout.close()
        said = process.stderr.read()
    assert process.returncode == 0
    assert said == b""


def test_an_unforeseen_failure_keeps_its_details_in_a_file(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    code = exit_code_of(ZeroDivisionError("by zero"))
    said = capsys.readouterr().err
    (log,) = tmp_path.iterdir()
    assert code == 1
    assert said.count("\n") == 1
    assert str(log) in said
    assert "ZeroDivisionError: by zero" in log.read_text("utf-8")


def test_an_unforeseen_failure_is_said_even_where_nothing_can_be_kept(monkeypatch, capsys):
    monkeypatch.setattr(tempfile, "tempdir", str(Path(__file__) / "no-folder"))
    assert exit_code_of(ZeroDivisionError("by zero")) == 1
    assert "could not be kept" in capsys.readouterr().err


def _own_value_error() -> ValueError:
    with pytest.raises(ValueError, match="above 0") as caught:
        PulseTimes(peak_s=-1.0, background_s=1.0, times_are=TimesAre.SECONDS)
    return caught.value


def test_what_numpy_refuses_is_no_mistake_of_the_user(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    uneven = WeldLines(
        stations=(),
        s=np.arange(3.0),
        unit="mm",
        left_px=np.zeros((3, 2)),
        right_px=np.zeros((4, 2)),
        clock_deg=None,
        crests_px=np.zeros((0, 2)),
        extremes=(),
    )
    with pytest.raises(ValueError, match="broadcast") as caught:
        _ = uneven.middle_px
    assert exit_code_of(caught.value) == 1
    assert "mistake of its own" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (NoPhotoGivenError(), 2, "No photo was given."),
        (NoWeldFoundError(), 1, "No weld was found beside the target."),
        (KeyboardInterrupt(), 130, "Stopped."),
        (_own_value_error(), 2, "Peak and background times must be above 0"),
    ],
)
def test_each_kind_of_failure_has_its_exit_code(error, code, words, capsys):
    assert exit_code_of(error) == code
    assert capsys.readouterr().err.startswith(words)
