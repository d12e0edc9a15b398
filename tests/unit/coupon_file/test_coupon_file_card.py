"""A procedure card fills in what a coupon leaves open; the coupon wins, differences are told."""

import pytest

from beadcheck.camera import CameraBook
from beadcheck.coupon import Polarity, Position, Process
from beadcheck.coupon_file import coupon_order, read_procedure
from beadcheck.errors import InputFileError

CARD = """\
format = "beadcheck-procedure/1"
title = "Stick on 8 inch pipe"
signer = "instructor"
pipe_size = "NPS 8 SCH 60"
position = "6G"
limits = "iso-5817-c"

[[pass]]
pass = "cap"
process = "smaw"
current_range_a = [90, 110]
volts_range = [24, 28]
travel_range_mm_per_min = [120, 160]
hold_point = "cap looked at"
"""
COUPON = """\
format = "beadcheck-coupon/1"
coupon = "P8-17"
procedure = "card.toml"

[[pass]]
pass = "cap"

[[pass.photo]]
file = "cap.jpg"
"""
SIGNED = 'pass = "cap"\nsigned = "TQ"\n'


@pytest.fixture
def ordered(folder):
    def order(*, coupon: str = COUPON, card: str = CARD):
        (folder / "card.toml").write_text(card, "utf-8")
        (folder / "coupon.toml").write_text(coupon, "utf-8")
        return coupon_order(folder / "coupon.toml", CameraBook())

    return order


def test_a_card_fills_in_what_the_coupon_leaves_open(ordered):
    order = ordered(coupon=COUPON.replace('pass = "cap"\n', SIGNED))
    (request,) = order.passes[0].requests
    assert request.coupon.outside_diameter_mm == 219.1
    assert request.coupon.position is Position.FIXED_INCLINED
    assert request.coupon.process is Process.SMAW
    assert request.limits == "iso-5817-c"
    assert (request.allowed.lowest_a, request.allowed.highest_a) == (90.0, 110.0)
    assert request.settings.arc is None
    assert order.filled.remarks == ()


def test_the_coupon_wins_and_each_difference_is_told(ordered):
    said = """position = "5G"
limits = "pipe-coupon"
"""
    settings = """process = "gtaw"
current_a = 120
volts = 20
run_length_mm = 90
arc_time_s = 60
"""
    text = COUPON.replace("\n[[pass]]", said + "\n[[pass]]", 1)
    order = ordered(coupon=text.replace('pass = "cap"\n', 'pass = "cap"\n' + settings))
    (request,) = order.passes[0].requests
    assert request.coupon.position is Position.FIXED_HORIZONTAL
    assert request.limits == "pipe-coupon"
    assert order.filled.remarks == (
        "Procedure card.toml: position is 5G, and 6G is asked for.",
        "Procedure card.toml: limits is pipe-coupon, and iso-5817-c is asked for.",
        "Procedure card.toml: pass 'cap', process is gtaw, and smaw is asked for.",
        "Procedure card.toml: pass 'cap', current_a is 120 A, and 90 to 110 A is asked for.",
        "Procedure card.toml: pass 'cap', volts is 20 V, and 24 to 28 V is asked for.",
        "Procedure card.toml: pass 'cap', travel is 90 mm/min, and 120 to 160 mm/min is asked for.",
        "Procedure card.toml: pass 'cap', its hold point is not signed by instructor (cap looked "
        "at).",
    )


def test_a_pass_that_the_card_does_not_know_is_told(ordered):
    order = ordered(coupon=COUPON.replace('pass = "cap"', 'pass = "fill"'))
    assert order.filled.remarks == ("Procedure card.toml: pass 'fill' is not in it.",)


def test_a_card_asks_the_same_of_every_bead_unless_it_names_one(ordered):
    card = CARD + '\n[[pass]]\nname = "cap, layer 4, bead 2"\npolarity = "dcen"\n'
    beads = [f'pass = "cap"\nlayer = 4\nbead = {bead}\nsigned = "TQ"' for bead in (1, 2)]
    photo = '\n\n[[pass.photo]]\nfile = "laser.jpg"\n\n[[pass]]\n'
    order = ordered(coupon=COUPON.replace('pass = "cap"', photo.join(beads)), card=card)
    first, second = (each.requests[0].coupon for each in order.passes)
    assert (first.process, first.polarity) == (Process.SMAW, None)
    assert (second.process, second.polarity) == (None, Polarity.DCEN)
    assert order.filled.remarks == ()


def test_a_size_is_taken_whole_from_one_of_them(ordered):
    text = COUPON.replace("\n[[pass]]", 'pipe_size = "NPS 6"\n\n[[pass]]', 1)
    order = ordered(coupon=text.replace('pass = "cap"\n', SIGNED))
    (request,) = order.passes[0].requests
    assert request.coupon.outside_diameter_mm == 168.3
    assert request.coupon.wall_thickness_mm is None
    assert order.filled.remarks == (
        "Procedure card.toml: pipe_size is NPS 6, and NPS 8 SCH 60 is asked for.",
    )


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("title", "titel", ("line 2", "Write title")),
        ('title = "Stick on 8 inch pipe"\n', "", ("title is missing",)),
        ("volts_range = [24, 28]", "volts_range = [28, 24]", ("line 12, pass 1", "the lowest")),
        ("hold_point", "current_a = 95\nhold_point", ("line 14, pass 1", "current_a")),
        ('"iso-5817-c"', '"iso-5817-x"', ("line 6", "limits")),
        ("beadcheck-procedure/1", "beadcheck-coupon/1", ("line 1", "beadcheck-procedure/1")),
    ],
)
def test_a_mistake_in_the_card_is_told_with_its_line(ordered, old, new, words):
    with pytest.raises(InputFileError) as refused:
        ordered(card=CARD.replace(old, new))
    assert all(word in str(refused.value) for word in words)
    assert str(refused.value).startswith("card.toml")


def test_a_contradiction_of_both_is_told(ordered):
    text = COUPON.replace('pass = "cap"\n', 'pass = "cap"\npeak_current_a = 120\n' + PULSES)
    with pytest.raises(InputFileError, match=r"coupon.toml with its procedure.*pulse"):
        ordered(coupon=text)


def test_the_sample_card_is_sound(pytestconfig):
    card = read_procedure(pytestconfig.rootpath / "samples" / "stick-on-pipe.toml")
    assert [each.name for each in card.passes] == ["root", "cap"]


PULSES = "background_percent = 30\n"
