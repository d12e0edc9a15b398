"""The command that draws targets: files, words, refusals."""

from pathlib import Path

import pytest
import typer
from PIL import Image
from pypdf import PdfReader
from typer.testing import CliRunner

from beadcheck.cli.failures import exit_code_of
from beadcheck.cli.target import target
from beadcheck.errors import SettingError
from beadcheck.target.read import read_target

app = typer.Typer()
app.command()(target)


def _run(folder: Path, *words: str, monkeypatch: pytest.MonkeyPatch) -> tuple[int, str]:
    """Exit code, and all that was printed."""
    monkeypatch.chdir(folder)
    result = CliRunner().invoke(app, list(words), standalone_mode=False)
    if result.exception is not None:
        return exit_code_of(result.exception), str(result.exception)
    return int(result.return_value or 0), result.output


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ((), "beadcheck-plate-card-a4"),
        (("--paper", "letter", "--strips"), "beadcheck-plate-strips-letter"),
        (("--pipe", "NPS 1-1/2 SCH 80"), "beadcheck-pipe-strip-nps-1-1-2-a4"),
        (("--outside-diameter", "60.3"), "beadcheck-pipe-strip-60.3-mm-a4"),
    ],
)
def test_a_page_and_its_target_file_are_written(
    words: tuple[str, ...], name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, said = _run(tmp_path, *words, monkeypatch=monkeypatch)
    assert code == 0
    assert f"{name}.pdf" in said
    assert "100 %" in said
    assert "qualified inspector" in said
    assert sorted(path.name for path in tmp_path.iterdir()) == [f"{name}.pdf", f"{name}.toml"]
    assert len(PdfReader(tmp_path / f"{name}.pdf").pages) == 1
    assert read_target(tmp_path / f"{name}.toml").check_bar_mm == 100.0


def test_a_strip_of_several_pages_gives_a_png_for_each(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ("--outside-diameter", "323.8", "--out", "strip.png")
    code, _ = _run(tmp_path, *words, monkeypatch=monkeypatch)
    assert code == 0
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == ["strip-1.png", "strip-2.png", "strip.toml"]
    with Image.open(tmp_path / "strip-2.png") as image:
        assert image.size == (7016, 4961)


def test_another_thickness_goes_into_the_file_and_the_file_into_the_advice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ("--thickness", "0.25", "--out", "card.pdf")
    code, said = _run(tmp_path, *words, monkeypatch=monkeypatch)
    assert code == 0
    assert "--target card.toml" in said
    assert read_target(tmp_path / "card.toml").thickness_mm == 0.25


def test_nothing_is_overwritten_unless_forced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "card.toml").write_text("mine")
    code, said = _run(tmp_path, "--out", "card.pdf", monkeypatch=monkeypatch)
    assert code == 2
    assert "'card.toml' is there already" in said
    assert [path.name for path in tmp_path.iterdir()] == ["card.toml"]
    assert (tmp_path / "card.toml").read_text() == "mine"
    code, _ = _run(tmp_path, "--out", "card.pdf", "--force", monkeypatch=monkeypatch)
    assert code == 0
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--pipe", "NPS 7 SCH 40"), "nearest are NPS 6 and NPS 8"),
        (("--pipe", "pipe"), "is not a pipe size"),
        (("--pipe", "NPS 8", "--outside-diameter", "219.1"), "cannot be given together"),
        (("--strips", "--pipe", "NPS 8"), "cannot be given together"),
        (("--outside-diameter", "5"), "20 to 1000 mm"),
        (("--outside-diameter", "nan"), "20 to 1000 mm"),
        (("--thickness", "-1"), "--thickness cannot be '-1'"),
        (("--thickness", "nan"), "--thickness cannot be"),
        (("--out", "card.svg"), "PDF or PNG"),
        (("--out", "nowhere/card.pdf"), "cannot be written"),
        (("--out", "a\0b.pdf"), "null byte"),
    ],
)
def test_impossible_wishes_are_refused_in_words_and_leave_nothing_behind(
    words: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    code, message = _run(tmp_path, *words, monkeypatch=monkeypatch)
    assert code == 2
    assert said in message
    assert list(tmp_path.iterdir()) == []


def test_each_refusal_is_a_setting_that_makes_no_sense(tmp_path: Path) -> None:
    with pytest.raises(SettingError):
        target(out=tmp_path / "card.bmp")
