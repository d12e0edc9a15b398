"""Wrong usage is refused in one sentence, with exit code 2, before anything is written."""

import sys

import pytest

from beadcheck.cli import main

PHOTO = "coupon.jpg"


@pytest.fixture
def refused(tmp_path, monkeypatch, capsys):
    """Run the command in this process; return the one sentence with which it refuses its use."""
    monkeypatch.chdir(tmp_path)

    def refusal(*arguments) -> str:
        monkeypatch.setattr(sys, "argv", ["beadcheck", *arguments])
        with pytest.raises(SystemExit) as left:
            main()
        said = capsys.readouterr()
        lines = said.err.splitlines()
        assert left.value.code == 2, said.err
        assert said.out == ""
        assert len(lines) == 1, said.err
        assert "mistake of its own" not in lines[0]
        return lines[0]

    return refusal


@pytest.fixture(autouse=True)
def some_photo(tmp_path):
    """These journeys end before anybody looks into the file."""
    (tmp_path / PHOTO).write_bytes(b"never read")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "No photo was given"),
        (["missing.jpg"], "'missing.jpg'"),
        ([PHOTO, "--plate", "--pipe", "NPS 8"], "--plate and --pipe cannot be given together"),
        ([PHOTO, "--pipe", "NPS 8", "--outside-diameter", "219.1"], "cannot be given together"),
        ([PHOTO, "--pipe", "NPS 8", "--plate", "--wall", "3"], "cannot be given together"),
        ([PHOTO, "--pipe", "eight inches"], "'eight inches' is not a pipe size"),
        ([PHOTO, "--outside-diameter", "-5"], "between 10 and 2500"),
        ([PHOTO, "--outside-diameter", "nan"], "between 10 and 2500"),
        ([PHOTO, "--wall", "1000"], "between 0.1 and 200"),
        ([PHOTO, "--position", "5G"], "--position 5G means nothing without --pipe"),
        ([PHOTO, "--position", "7G"], "'7G' is not one of"),
        (
            [PHOTO, "--pass", "fit-up", "--bead", "2"],
            "--bead and --pass fit-up cannot be given together",
        ),
        ([PHOTO, "--layer", "0"], "greater than or equal to 1"),
        ([PHOTO, "--strip-side", "low"], "--strip-side means nothing without --pipe"),
        ([PHOTO, "--depth", "7"], "--depth means nothing without --pass root, second or fill"),
        ([PHOTO, "--pass", "cap", "--depth", "7"], "--depth means nothing without --pass root"),
        ([PHOTO, "--pass", "root", "--depth", "deep"], "Give a number, or with its U"),
        ([PHOTO, "--pass", "root", "--depth", "-2"], "cannot lie -2 mm below"),
        ([PHOTO, "--pass", "root", "--depth", "9", "--wall", "6"], "not in a wall of 6 mm"),
        ([PHOTO, "--root-gap", "2,4"], "--root-gap means nothing without --pass fit-up"),
        ([PHOTO, "--pass", "fit-up", "--root-gap", "3"], "as in: --root-gap 2.4,4"),
        ([PHOTO, "--pass", "fit-up", "--root-gap", "4,2"], "from 4 to 2 mm cannot be asked for"),
        ([PHOTO, "--pass", "fit-up", "--no-target"], "needs the target in the picture"),
        ([PHOTO, "--clock", "400"], "0 to 360"),
        ([PHOTO, "--clock", "other.jpg=90"], "Say which photo it is of (coupon.jpg)"),
        ([PHOTO, "--sectors", "1"], "greater than or equal to 2"),
        ([PHOTO, "--peak-time", "0.3"], "--background-time"),
        ([PHOTO, "--background-time", "0.3"], "--peak-time"),
        ([PHOTO, "--peak-time", "0", "--background-time", "0.3"], "above 0 and below 60"),
        (
            [PHOTO, "--process", "smaw", "--peak-time", "1", "--background-time", "1"],
            "only a pulsed pass has pulses",
        ),
        ([PHOTO, "--times-are", "seconds"], "--peak-time and --background-time"),
        ([PHOTO, "--process", "smaw", "--peak-current", "120"], "only a pulsed pass has pulses"),
        ([PHOTO, "--process", "gtaw-pulsed", "--current", "120"], "a peak and a background"),
        ([PHOTO, "--volts", "12"], "--current or --peak-current"),
        ([PHOTO, "--run-length", "120"], "--arc-time"),
        ([PHOTO, "--overlap", "100"], "less than 100 %"),
        ([PHOTO, "--motion", "steady", "--weave", "alternating"], "contradict"),
        ([PHOTO, "--current-range", "130,90"], "as in: 90,130"),
        ([PHOTO, "--current-range", "90"], "as in: 90,130"),
        ([PHOTO, "--current-range", "90,130,boss"], "as in: 90,130"),
        ([PHOTO, "--along", "1,2", "3"], "as in: --along"),
        ([PHOTO, "--along", "1,2", "1,2"], "two different ends"),
        ([PHOTO, "--along", "1,2", "inf,3"], "as in: --along"),
        ([PHOTO, "--kind", "pair"], "two photos or more of one place, and only 1 was given"),
        (["--pair", PHOTO], "two photos or more of one place, and only 1 was given"),
        (["--side-on", "missing.jpg", "--pipe", "NPS 8"], "'missing.jpg'"),
        ([PHOTO, "--side-on", PHOTO, "--pipe", "NPS 8"], "given for two kinds"),
        (["--side-on", PHOTO], "on plate"),
        (["--side-on", PHOTO, "--pipe", "NPS 8", "--no-target"], "need the target"),
        (["--light-line", PHOTO, "--light-angle", "45", "--no-target"], "need the target"),
        ([PHOTO, "--kind", "light-line"], "no height without a known step or the angle"),
        (["--light-line", PHOTO, "--step", "0.3"], "the edge of a card cannot serve"),
        (["--light-line", PHOTO, "--step", "25"], "too thick"),
        (["--light-line", PHOTO, "--step", "five"], "as in: --step 5,0.04"),
        (["--light-line", PHOTO, "--step", "5,0"], "U be above 0"),
        (["--light-line", PHOTO, "--step", "5,4"], "standard uncertainty of a step"),
        (["--light-line", PHOTO, "--light-angle", "45,2,1"], "as in: --light-angle 45,2"),
        (["--light-line", PHOTO, "--light-angle", "nan"], "as in: --light-angle 45,2"),
        (["--light-line", PHOTO, "--light-angle", "89"], "cannot be the angle"),
        (
            ["--light-line", PHOTO, "--step", "5", "--light-angle", "45"],
            "--step and --light-angle cannot be given together",
        ),
        ([PHOTO, "--step", "5"], "--step means nothing without a light-line photo or a pair"),
        ([PHOTO, "--light-angle", "45"], "--light-angle means nothing without"),
        (
            ["--light-line", PHOTO, "--light-angle", "45", "--step-at", "1,2"],
            "--step-at means nothing without --step",
        ),
        (["--light-line", PHOTO, "--step", "5", "--step-at", "1"], "as in: --step-at"),
        (["--light-line", PHOTO, "--step", "5", "--step-at", "b.jpg=1,2"], "in which photo"),
        ([PHOTO, "--no-target", "--print-scale", "99"], "--no-target and --print-scale cannot"),
        ([PHOTO, "--no-target", "--target", "card.toml"], "--no-target and --target cannot"),
        ([PHOTO, "--no-picture"], "--no-picture means nothing without --out"),
        ([PHOTO, "--wall", "thick"], "--wall"),
        ([PHOTO, "--bogus"], "--bogus"),
        ([PHOTO, "--json", "--out", PHOTO], "is a file"),
    ],
)
def test_flags_that_make_no_sense(refused, tmp_path, arguments, words):
    assert words in refused("measure", *arguments)
    assert [path.name for path in tmp_path.iterdir()] == [PHOTO]


def test_an_unknown_command(refused):
    assert "weigh" in refused("weigh")


def test_a_folder_without_photos(refused, tmp_path):
    (tmp_path / "empty").mkdir()
    (tmp_path / "empty" / "notes.txt").write_text("no photo", "utf-8")
    assert "holds no photo" in refused("measure", "empty")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("format = \n", "line 1"),
        ('format = "another/1"\n', "beadcheck-limits/1"),
        ("", "beadcheck-limits/1"),
    ],
)
@pytest.mark.parametrize("arguments", [["limits"], ["measure", PHOTO, "--out", "o", "--limits"]])
def test_a_broken_limit_file(refused, tmp_path, text, words, arguments):
    (tmp_path / "shop.toml").write_text(text, "utf-8")
    assert words in refused(*arguments, "shop.toml")
    assert not (tmp_path / "o").exists()


def test_an_unknown_limit_set_names_the_known_ones(refused):
    assert "iso-5817-b" in refused("limits", "iso-9999")


def test_a_broken_target_file(refused, tmp_path):
    (tmp_path / "card.toml").write_text('format = "beadcheck-target/1"\nname = 3\n', "utf-8")
    words = refused("measure", PHOTO, "--out", "o", "--target", "card.toml")
    assert "card.toml" in words
    assert not (tmp_path / "o").exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--class-code", "harrow-42"], "A code is for other devices"),
        (["--instructor-code", "harrow-42"], "Add --lan"),
        (["--lan", "--class-code", "123"], "The class code is too short or too plain."),
        (["--lan", "--instructor-code", "aaaaaa"], "The instructor's code is too short"),
        (["--lan", "--class-code", "harrow 42", "--instructor-code", "Harrow-42"], "are the same"),
    ],
)
def test_codes_of_the_page_that_make_no_sense(refused, arguments, words):
    assert words in refused("page", *arguments)
