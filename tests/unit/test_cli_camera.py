"""Wrong usage of ``beadcheck camera`` is refused in one sentence before anything is stored."""

import sys

import pytest

from beadcheck.cli import main

PHOTO = "card.jpg"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["nowhere.jpg"], "'nowhere.jpg'"),
        ([PHOTO, "--chessboard", "9"], "as in: --chessboard 9x6"),
        ([PHOTO, "--chessboard", "9x6x2"], "as in: --chessboard 9x6"),
        ([PHOTO, "--chessboard", "2x90"], "Count the inner corners"),
        ([PHOTO, "--square", "25"], "--square means nothing without --chessboard"),
        ([PHOTO, "--chessboard", "9x6", "--square", "-3"], "between 0.5 and 1000"),
        ([PHOTO, "--chessboard", "9x6", "--square", "nan"], "between 0.5 and 1000"),
        ([PHOTO, "--chessboard", "9x6", "--target", "x.toml"], "the photos show one board"),
        ([PHOTO, "--target", "nowhere.toml"], "nowhere.toml"),
        ([PHOTO, "--name", " "], "printable letters"),
        ([PHOTO, "--name", "two\nlines"], "printable letters"),
        (["--name", "mine"], "--name means nothing without photos"),
        (["--chessboard", "9x6"], "--chessboard means nothing without photos"),
        (["--show", "mine", "--forget", "mine"], "one run does one thing"),
        ([PHOTO, "--show", "mine"], "one run does one thing"),
        (["--show", "mine"], "no stored camera 'mine'"),
        (["--forget", "mine"], "None is stored yet"),
        ([PHOTO, "--chess", "9x6"], "No such option"),
    ],
)
def test_it_is_said_in_one_sentence(tmp_path, monkeypatch, capsys, arguments, words):
    (tmp_path / PHOTO).write_bytes(b"never read")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("BEADCHECK_CAMERAS", str(tmp_path / "cameras"))
    monkeypatch.setattr(sys, "argv", ["beadcheck", "camera", *arguments])
    with pytest.raises(SystemExit) as left:
        main()
    said = capsys.readouterr()
    assert (left.value.code, said.out) == (2, "")
    (line,) = said.err.splitlines()
    assert words in line
    assert [each.name for each in tmp_path.iterdir()] == [PHOTO]
