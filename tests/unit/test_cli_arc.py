"""``beadcheck arc``: settings in, a table out; wrong usage in one sentence."""

import sys

import pytest

from beadcheck.cli import main

PULSED = ["--peak-current", "150", "--background-current", "30%", "--volts", "11"]
TIMES = ["--peak-time", "0.4", "--background-time", "0.6"]
SECONDS = [*TIMES, "--times-are", "seconds"]


@pytest.fixture
def run(monkeypatch, capsys):
    def arc(*arguments: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["beadcheck", "arc", *arguments])
        with pytest.raises(SystemExit) as left:
            main()
        said = capsys.readouterr()
        return left.value.code, said.out, said.err

    return arc


def test_a_run_of_smaw_gives_both_names_of_its_heat(run):
    code, out, err = run(
        "--process", "smaw", "--current", "180", "--volts", "24", "--run-length", "150,1",
        "--arc-time", "40",
    )  # fmt: skip
    assert code == 0
    # 24 V * 180 A / (150 mm / 40 s) = 1.152 kJ/mm, and 0.8 of it.
    for words in ("1.15", "0.92", "225 mm/min", "AWS and ASME call this heat input"):
        assert words in out
    assert err == ""


def test_inches_stand_beside_travel_heat_and_steps(run):
    code, out, err = run(
        "--process", "smaw", "--current", "325", "--volts", "29", "--run-length", "635",
        "--arc-time", "120", "--inch",
    )  # fmt: skip
    assert code == 0
    # A public worked example: 25 in in 2 min are 12.5 in/min, and 45.24 kJ/in.
    for words in ("318 mm/min, 12.5 in/min", "(45.2 ±"):
        assert words in out
    assert "318 mm/min (12.5 in/min) is faster" in err


@pytest.mark.parametrize(
    "arguments",
    [["--energy", "60.3", "--run-length", "150"], ["--power", "1206", "--speed", "180"]],
)
def test_energy_counted_or_power_shown_needs_no_current(run, arguments):
    code, out, _ = run("--process", "gtaw", *arguments)
    assert code == 0
    # 60.3 kJ / 150 mm, or 1206 W / 3 mm/s, and 0.6 of it.
    for words in ("0.402 ±", "0.241 ±"):
        assert words in out


def test_pulses_give_travel_and_the_overlap_that_is_wanted(run):
    code, out, _ = run(
        *SECONDS, *PULSED, "--process", "gtaw-pulsed", "--spacing", "1.5,0.02", "--spot", "4",
        "--motion", "stepped", "--overlap", "75",
    )  # fmt: skip
    assert code == 0
    # 1.5 mm / 1 s; 0.4 * 150 + 0.6 * 45; 1 - 1.5 / 4.
    for words in ("1.500 ± 0.027 mm/s (90 mm/min)", "87.0 ±", "62.5 ±", "wanted background time"):
        assert words in out


def test_what_is_missing_and_what_is_absurd_goes_to_standard_error(run):
    code, out, err = run(*SECONDS, "--process", "gtaw-pulsed", "--spacing", "15", *PULSED[:4])
    assert code == 0
    assert "900 mm/min" in out
    assert "No arc energy: it needs the arc voltage." in err
    assert "faster than hands usually weld" in err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (
            ["--process", "smaw", "--run-length", "150", "--arc-time", "4"],
            "length again, and check",
        ),
        (["--process", "smaw", "--speed", "4"], "--speed takes mm/min"),
        (["--process", "gtaw-pulsed", "--spacing", "15", *SECONDS], "time ten pulses"),
    ],
)
def test_what_to_check_fits_the_way_the_travel_was_worked_out(run, arguments, words):
    _, _, err = run(*arguments)
    assert "than hands usually weld" in err
    assert words in err
    # Stick welding has no pulse times.
    assert ("pulse" in err) == ("gtaw-pulsed" in arguments)


def test_times_that_nobody_confirmed_are_asked_about_with_the_travel_that_follows(run):
    code, out, err = run(*TIMES, "--process", "gtaw-pulsed", "--spacing", "15")
    assert code == 2
    assert out == ""
    assert "900 mm/min (by hand 51 to 203 mm/min is usual)" in err
    assert "seconds or dial marks" in err


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "no number was given"),
        (["--peak-time", "0.4"], "--background-time"),
        (["--background-time", "0.4"], "--peak-time"),
        ([*TIMES, "--times-are", "dial-marks"], "marks of a dial"),
        (["--peak-time", "0", "--background-time", "1", "--times-are", "seconds"], "above 0"),
        (["--volts", "20"], "--current or --peak-current"),
        (["--peak-volts", "20"], "--peak-current"),
        (["--peak-current", "100"], "--background-current"),
        (["--peak-current", "100", "--background-current", "120"], "not below the peak"),
        (["--peak-current", "100", "--background-current", "140%"], "between 1 and 99"),
        ([*PULSED, "--peak-volts", "12"], "one is for both levels"),
        ([*PULSED[:4], "--peak-volts", "12"], "the other"),
        (["--current", "100", *PULSED], "steady, or pulsed"),
        (["--current", "1e9"], "between 1 and 1000"),
        (["--current", "nan"], "as in: --current"),
        (["--energy", "60"], "--run-length"),
        (["--energy", "60", "--run-length", "150", "--power", "900"], "power or energy"),
        (["--arc-time", "40"], "--run-length"),
        (["--run-length", "40"], "--arc-time"),
        (["--ripples-at", "edge"], "--spacing"),
        (["--speed", "120", "--spacing", "1.5"], "either one gives the travel"),
        (["--process", "smaw", "--spacing", "1.5"], "only a pulsed pass"),
        (["--spacing", "1.5", "--weave", "alternating"], "along one edge"),
        (["--motion", "steady", "--weave", "alternating"], "contradict"),
        (["--spot", "4", "--motion", "stepped", "--overlap", "100"], "less than 100 %"),
        (["--pipe", "eight"], "not a pipe size"),
    ],
)
def test_wrong_usage_is_refused_in_one_sentence(run, arguments, words):
    code, out, err = run(*arguments)
    assert (code, out) == (2, ""), err
    assert len(err.splitlines()) == 1
    assert words in err
