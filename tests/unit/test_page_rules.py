"""What the page shows without a photo: what the limits ask, and what the settings give.

Heat input of 24 V, 180 A and 300 mm/min with k 0.8, 0.691 kJ/mm: a public worked example, *verified
in public text*. A spot of 4 mm and steps of 3.1 mm: 22.5 % overlap, by the formula of *Process
Fundamentals of Industrial Laser Welding and Cutting*, p. 81. Level C of ISO 5817, no. 1.9: 1 mm
and 0.15 b, *verified in public text*.
"""

from dataclasses import replace

import pytest

from beadcheck.arc import answers
from beadcheck.coupon import Coupon, Shape, WeldPass
from beadcheck.errors import SettingError
from beadcheck.limits import Judging, LengthSystem, limit_sets, load_limit_set
from beadcheck.report.limits_worded import Joint
from beadcheck.report.wording import LengthUnit
from beadcheck_page import show
from beadcheck_page.entries import Entries
from beadcheck_page.rule_handlers import asked_of_panel, settings_with_ripples
from beadcheck_page.understanding import understood

CAP = Coupon(
    shape=Shape.PIPE,
    outside_diameter_mm=219.1,
    wall_thickness_mm=10.31,
    weld_pass=WeldPass.CAP,
)
PULSED = Entries(process="gtaw-pulsed", peak_s=0.5, background_s=0.5)


def worked(entries: Entries, spacing: str = "", spot: str = "", line: str = "middle") -> str:
    said = understood(entries, limit_names=())
    settings = settings_with_ripples(said, spacing, line, spot)
    asked = asked_of_panel(said, settings)
    return show.worked_out_answers(answers(settings), settings, asked, said.unit)


def test_the_limits_of_a_set_are_worked_out_with_their_source_on_a_tap() -> None:
    level_c = load_limit_set("iso-5817-c")
    told = show.limits_asked(level_c, Joint(coupon=CAP, width_mm=19.8))
    assert "at most 3.97 mm" in told
    tapped = told.partition("<details")[2]
    assert "1.9 excess weld metal (502)" in tapped
    assert "verified in public text" in tapped.lower()
    without = show.limits_asked(level_c, Joint(coupon=CAP, width_mm=None))
    assert "needs the measured weld width" in without
    assert "0.15 × weld width" in without


def test_every_set_stands_beside_the_others_by_quantity() -> None:
    inch = Judging(system=LengthSystem.INCH)
    sets = [load_limit_set(name, inch) for name in limit_sets()]
    told = show.limits_compared(sets, Joint(coupon=CAP, width_mm=19.8))
    assert all(each.title in told for each in sets)
    faces = told.partition("Face reinforcement")[2].partition("</details>")[0]
    assert "<strong>API 1104, pipelines</strong>: at most 1.59 mm (1/16 in) (should)" in faces


def test_heat_follows_from_what_was_entered() -> None:
    stick = Entries(process="smaw", current=180, volts=24, run_length=300, arc_time=60)
    told = worked(stick)
    assert ">0.691 ± " in told
    assert "faster than hands usually weld" in told
    assert "in/min" in worked(replace(stick, unit=LengthUnit.INCH.value, run_length=11.811))
    assert worked(Entries()) == f"<p>{show.NOTHING_ENTERED}</p>"


def test_overlap_follows_from_what_was_measured_and_the_times_are_asked_about() -> None:
    asked = worked(replace(PULSED, wanted_overlap=60), "3.1 mm", "4 mm")
    assert "22.5 ±" in asked
    assert ">1.60 ± " in asked
    assert "marks of a dial" in asked
    assert "186 mm/min" in asked
    told = worked(replace(PULSED, times_are="seconds"), "1/8 in")
    assert "marks of a dial" not in told
    assert "Travel speed" in told


@pytest.mark.parametrize(
    ("entries", "spacing", "line", "words"),
    [
        (Entries(process="smaw"), "2 mm", "middle", "only a pulsed arc"),
        (PULSED, "two", "middle", "ripple spacing"),
        (PULSED, "2 mm", "somewhere", "ripples were counted"),
        (replace(PULSED, weave="alternating"), "2 mm", "middle", "along one edge"),
    ],
)
def test_what_cannot_be_worked_out_is_refused_in_one_sentence(
    entries: Entries, spacing: str, line: str, words: str
) -> None:
    with pytest.raises(SettingError, match=words):
        worked(entries, spacing, line=line)
