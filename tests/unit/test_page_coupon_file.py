"""What the page writes as a coupon file, the command reads alike; what others wrote fills it in."""

import contextlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_array_equal

from beadcheck.advice import StatedBy
from beadcheck.camera import CameraBook
from beadcheck.coupon import (
    Groove,
    GrooveForm,
    Shape,
    TimesAre,
    TorchMotion,
    Weave,
    WeldPass,
)
from beadcheck.coupon_file import coupon_order, coupon_toml
from beadcheck.errors import BeadcheckError, InputFileError
from beadcheck.limits import DecisionRule
from beadcheck.photo import PhotoKind
from beadcheck.pipeline import Pointer
from beadcheck.toes import HandToes
from beadcheck_page.coupon_in import filled_by, written_file
from beadcheck_page.coupon_out import coupon_of_order, toes_of_order
from beadcheck_page.entries import UNSAID, BackgroundIn, Entries
from beadcheck_page.form_so_far import strip_entered
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.limit_choices import offered_limits
from beadcheck_page.orders import Order
from beadcheck_page.printing import printed_target
from beadcheck_page.refusals import MissingEntryError, NoMeasureError
from beadcheck_page.show import target_links
from beadcheck_page.take_requests import take_request
from beadcheck_page.takes import page_takes
from beadcheck_page.understanding import coupon_of_target, understood
from beadcheck_page.uses import FACE, Reference, Use

SAMPLES = Path(__file__).parents[2] / "samples"
LIMITS = offered_limits()
LEFT_PX = np.array([[100.125, 801.5], [1700.0, 790.0625], [2900.5, 812.0]])

PLATE = Entries(
    wall_thickness=10.0,
    process="gmaw",
    polarity="dcep",
    weld_pass=WeldPass.CAP.value,
    layer=4,
    bead=2,
    beads=3,
    groove_width=14.0,
    position="3G",
    progression="up",
    check_bar=99.7,
    current=182.0,
    volts=23.5,
    lowest_current=150.0,
    highest_current=210.0,
    allowed_by=StatedBy.ELECTRODE.value,
    run_length=118.0,
    arc_time=41.0,
    guard=DecisionRule.NINETY_FIVE.value,
)
PIPE = Entries(
    shape=Shape.PIPE.value,
    pipe_size="NPS 8",
    schedule="60",
    process="gtaw-pulsed",
    weld_pass=WeldPass.ROOT.value,
    polarity="dcen",
    position="6G",
    progression="up",
    strip_side="low",
    sectors=8,
    limits_of="Practice coupons",
    limits="pipe-coupon",
    calibrated=False,
    peak_current=130.0,
    background_current=55.0,
    background_in=BackgroundIn.PERCENT.value,
    volts=11.0,
    background_volts=9.5,
    peak_s=0.6,
    background_s=0.4,
    times_are=TimesAre.SECONDS.value,
    motion=TorchMotion.STEADY.value,
    weave=Weave.NONE.value,
    wanted_overlap=70.0,
)
IN_INCHES = replace(
    PLATE,
    unit="inch",
    wall_thickness=0.375,
    groove_width=0.55,
    check_bar=3.937,
    run_length=4.5,
    process="smaw",
)
ODD_PIPE = replace(PIPE, pipe_size=UNSAID, schedule=UNSAID, outside_diameter=203.0)
ON_A_DIAL = replace(PIPE, times_are=TimesAre.DIAL_MARKS.value, background_volts=None, unit="inch")
IN_A_GROOVE = replace(
    PIPE, groove="single-v", groove_angle="60°", root_gap="3 mm", root_face="2 mm"
)
FIT_UP = replace(
    IN_A_GROOVE, weld_pass=WeldPass.FIT_UP.value, least_root_gap=2.4, most_root_gap=4.0
)
ROOT_SIDE = replace(PIPE, weld_pass=WeldPass.ROOT_SIDE.value, bore=198.2)
FORMS = {
    "plate": PLATE,
    "pipe": PIPE,
    "inches": IN_INCHES,
    "odd pipe": ODD_PIPE,
    "dial": ON_A_DIAL,
    "groove": IN_A_GROOVE,
    "fit-up": FIT_UP,
    "nothing said": Entries(),
    "no target": Entries(no_target=True),
}


def family_of(entries: Entries) -> Entries:
    """Entries with the word that the form has for the family of their set."""
    families = [
        family
        for family, sets in LIMITS.by_family.items()
        if entries.limits in {name for _, name in sets}
    ]
    return replace(entries, limits_of=families[0]) if families else entries


@pytest.fixture
def photos(tmp_path: Path) -> tuple[StoredPhoto, ...]:
    found = []
    for name in ("cap 7.jpg", "second view.jpg", "line.png"):
        path = tmp_path / name
        path.write_bytes(b"whatever it shows")
        found.append(
            StoredPhoto(
                key=name,
                name=name,
                path=path,
                preview=path,
                thumbnail=path,
                width_px=4000,
                height_px=3000,
            )
        )
    return tuple(found)


def order(entries: Entries, photos: tuple[StoredPhoto, ...], **uses: Use) -> Order:
    by_key = {photo.key: uses.get(photo.path.stem.split()[0], FACE) for photo in photos}
    return Order(
        takes=page_takes(photos, by_key),
        settings=understood(entries, limit_names=LIMITS.names),
        uses=by_key,
    )


@pytest.mark.parametrize("form", FORMS)
def test_the_command_measures_a_written_file_as_the_page_would(
    form: str, photos: tuple[StoredPhoto, ...], tmp_path: Path
) -> None:
    entries = family_of(FORMS[form])
    pair = Use(kind=PhotoKind.PAIR, step_mm=5.0, step_at=(0.25, 0.75))
    light = Use(
        kind=PhotoKind.LIGHT_LINE, reference=Reference.ANGLE, angle_deg=45.0, u_angle_deg=1.0
    )
    cap = replace(FACE, clock_deg=97.5 if entries.shape == Shape.PIPE.value else None)
    uses = {"cap": cap} if entries.no_target else {"cap": cap, "second": pair, "line": light}
    asked = replace(
        order(entries, photos, **uses),
        pointers={"cap 7.jpg": Pointer(start_px=(10.5, 20.0), end_px=(3000.25, 90.0))},
        hand={"cap 7.jpg": HandToes(left_px=LEFT_PX.copy(), right_px=np.empty((0, 2)))},
    )
    path = tmp_path / "P8-17.toml"
    toes = toes_of_order(asked, beside=path.name)
    assert toes is not None
    coupon = coupon_of_order(asked, entries, name="P8-17", person="Tern", toes_file=toes.name)
    path.write_text(coupon_toml(coupon), encoding="utf-8")
    (tmp_path / toes.name).write_text(toes.contents, encoding="utf-8")
    (only,) = coupon_order(path, CameraBook()).passes
    assert len(only.requests) == len(asked.takes)
    for take, read in zip(asked.takes, only.requests, strict=True):
        meant = take_request(take, asked)
        assert read.hand.keys() == meant.hand.keys()
        for photo, toes_read in read.hand.items():
            assert_array_equal(toes_read.left_px, meant.hand[photo].left_px)
            assert_array_equal(toes_read.right_px, meant.hand[photo].right_px)
        for each in (
            "takes",
            "coupon",
            "settings",
            "allowed",
            "limits",
            "judging",
            "measured_bar_mm",
            "along",
            "without_target",
            "step",
            "light_angle",
            "step_places_px",
            "clocks_deg",
            "sectors",
            "cameras",
        ):
            if each == "settings" and "pulsed" not in str(entries.process):
                assert replace(read.settings, motion=None) == replace(meant.settings, motion=None)
            else:
                assert getattr(read, each) == getattr(meant, each), each


@pytest.mark.parametrize("form", [*FORMS, "root side"])
def test_a_written_file_fills_the_same_form_in_again(
    form: str, photos: tuple[StoredPhoto, ...]
) -> None:
    entries = family_of({**FORMS, "root side": ROOT_SIDE}[form])
    asked = order(entries, photos)
    coupon = coupon_of_order(asked, entries, name="P8-17", person=None, filler="E7018")
    back = filled_by(written_file("a.toml", coupon_toml(coupon)), None, Entries(), LIMITS)
    assert back.entries == entries
    assert (back.name, back.person, back.filler) == ("P8-17", None, "E7018")
    assert "cap 7.jpg, second view.jpg, line.png" in back.said[0]


def test_what_a_kind_of_photo_calls_for_is_asked_before_anything_is_written(
    photos: tuple[StoredPhoto, ...],
) -> None:
    asked = order(PLATE, photos, line=Use(kind=PhotoKind.LIGHT_LINE))
    with pytest.raises(MissingEntryError, match="line"):
        coupon_of_order(asked, PLATE, name="P8-17", person=None)


def test_a_coupon_of_several_passes_fills_in_one_of_them_and_says_what_has_no_field() -> None:
    text = (SAMPLES / "pike-pipe.toml").read_text(encoding="utf-8")
    file = written_file("pike-pipe.toml", text)
    first = filled_by(file, None, replace(PLATE, unit="inch"), LIMITS)
    assert (first.passes, first.chosen, first.person) == (("root", "cap"), "root", "Pike")
    assert (first.entries.pipe_size, first.entries.schedule) == ("NPS 8", "60")
    assert (first.entries.unit, first.entries.current) == ("mm", 105.0)
    assert first.entries.wall_thickness is None
    cap = filled_by(file, "cap", first.entries, LIMITS)
    assert (cap.entries.process, cap.entries.current, cap.entries.volts) == ("smaw", 112.0, 23.0)
    assert (cap.entries.run_length, cap.entries.arc_time) == (120.0, 72.0)
    said = " | ".join(cap.said)
    assert "pipe-smaw-light-line.jpg (light-line, step 5 mm)" in said
    assert "procedure card stick-on-pipe.toml" in said
    assert "who signed and uncertainties of your own" in said
    assert (cap.entries.groove, cap.filler) == ("single-v", "3.2 mm low-hydrogen")
    assert (cap.entries.groove_angle, cap.entries.root_gap) == ("60°", "3.2 mm")


@pytest.mark.parametrize("said", ["wide", "0", "-3 mm", "1/0 in", "3 ft", "nan", "1e999"])
def test_a_gap_that_is_no_length_is_told_before_anything_is_measured(said: str) -> None:
    entries = replace(IN_A_GROOVE, root_gap=said)
    with pytest.raises(NoMeasureError, match="The root gap"):
        understood(entries, limit_names=LIMITS.names)


def test_a_groove_counts_in_the_form_and_its_gap_may_be_in_inches() -> None:
    entries = replace(IN_A_GROOVE, root_gap="1/8 in")
    groove = understood(entries, limit_names=LIMITS.names).coupon.groove
    assert groove == Groove(
        form=GrooveForm.SINGLE_V, angle_deg=60.0, root_gap_mm=3.175, root_face_mm=2.0
    )


def test_an_allowed_opening_without_a_groove_is_told_before_anything_is_written(
    photos: tuple[StoredPhoto, ...],
) -> None:
    entries = replace(FIT_UP, groove=UNSAID)
    with pytest.raises(MissingEntryError, match="The groove"):
        coupon_of_order(order(entries, photos), entries, name="P8-17", person=None)


def test_a_procedure_card_fills_in_what_is_asked_for_and_leaves_what_was_set() -> None:
    text = (SAMPLES / "stick-on-pipe.toml").read_text(encoding="utf-8")
    set_before = Entries(unit="inch", current=118.0, check_bar=3.9, run_length=4.0, arc_time=60.0)
    found = filled_by(written_file("stick.toml", text), "cap", set_before, LIMITS)
    assert found.name is None
    assert found.title == "Stick on 8 inch pipe, second term"
    entries = found.entries
    assert (entries.shape, entries.pipe_size, entries.position) == ("pipe", "NPS 8", "5G")
    assert (entries.process, entries.weld_pass, entries.limits) == ("smaw", "cap", "pipe-coupon")
    assert (entries.lowest_current, entries.highest_current) == (90.0, 125.0)
    assert (entries.unit, entries.current, entries.check_bar) == ("inch", 118.0, 3.9)
    said = " | ".join(found.said)
    assert "20 to 26 V and 70 to 160 mm/min" in said
    assert "cap looked at before the coupon is cut, signed by instructor" in said


def test_a_card_is_read_for_the_pass_that_the_form_is_about() -> None:
    card = written_file("a.toml", (SAMPLES / "stick-on-pipe.toml").read_text(encoding="utf-8"))
    about_the_cap = Entries(weld_pass=WeldPass.CAP.value)
    assert filled_by(card, None, about_the_cap, LIMITS).chosen == "cap"
    assert filled_by(card, None, Entries(), LIMITS).chosen == "root"


def test_limits_that_are_a_file_of_their_own_are_told_and_not_taken() -> None:
    text = (
        'format = "beadcheck-coupon/1"\ncoupon = "A"\nlimits = "ours.toml"\n[[pass]]\nname = "a"\n'
    )
    found = filled_by(written_file("a.toml", text), None, Entries(), LIMITS)
    assert found.entries.limits == UNSAID
    assert "ours.toml" in found.said[0]
    assert (found.chosen, found.entries.weld_pass) == ("a", UNSAID)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "format"),
        ("bead 3, second try", "a.toml, line 1"),
        ('format = "beadcheck-coupon/1"\ncoupon = "A"\nposition = "9G"\n', "a.toml, line 3"),
        ('format = "beadcheck-procedure/1"\n', "title"),
        ('format = "beadcheck-coupon/1"\ncoupon = "A"\nshape = "pipe"\npipe_size = "NPS 99"', "99"),
    ],
)
def test_a_broken_file_is_refused_with_its_place(text: str, words: str) -> None:
    with pytest.raises(InputFileError, match=words):
        written_file("a.toml", text)


@settings(max_examples=30)
@given(st.text(max_size=80), st.text(max_size=200))
def test_any_text_is_a_file_or_a_refusal(name: str, text: str) -> None:
    with contextlib.suppress(BeadcheckError):
        assert written_file(name, text).passes is not None


def test_the_root_side_is_measured_by_its_bore_and_its_strip_is_offered() -> None:
    assert coupon_of_target(ROOT_SIDE).strip_diameter_mm == 198.2
    assert strip_entered(ROOT_SIDE) == (198.2, True)
    by_wall = replace(ROOT_SIDE, bore=None)
    # NPS 8 SCH 60 by ASME B36.10M: 219.1 mm less two walls of 10.31 mm.
    assert strip_entered(by_wall) == (pytest.approx(198.48), True)
    assert strip_entered(replace(by_wall, schedule=UNSAID)) is None
    assert strip_entered(PIPE) == (219.1, False)
    assert "/targets/bore?paper=a4&amp;diameter_mm=198.20" in target_links((198.2, True))
    assert printed_target("bore", paper="a4", diameter="198.2").pdf.startswith(b"%PDF")
