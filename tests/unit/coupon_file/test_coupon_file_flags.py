"""Whatever can be typed for `measure` a coupon file can say, or there is a reason why not."""

from dataclasses import dataclass
from typing import Final

import pytest
import typer

from beadcheck.camera import CameraBook
from beadcheck.cli import app
from beadcheck.cli.beside_file import BESIDE_FILE
from beadcheck.coupon_file import coupon_order

PIPE: Final = "outside_diameter_mm = 219.1"
PLAIN: Final = 'process = "smaw"'
PULSED: Final = 'process = "gtaw-pulsed"'
FIRST: Final = 'file = "cap.jpg"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Lines of a coupon file, by the table in which they stand."""

    top: tuple[str, ...] = ()
    groove: tuple[str, ...] = ()
    of_pass: tuple[str, ...] = (PLAIN,)
    photo: tuple[str, ...] = (FIRST,)

    def text(self) -> str:
        """Text of the file."""
        groove = ("[groove]", *self.groove) if self.groove else ()
        head = ('format = "beadcheck-coupon/1"', 'coupon = "P8-17"', *self.top, *groove)
        return "\n".join(
            (*head, "[[pass]]", 'name = "run"', *self.of_pass, "[[pass.photo]]", *self.photo, "")
        )


def top(line: str, *beside: str) -> tuple[Said, Said]:
    return Said(top=beside), Said(top=(*beside, line))


def of_pass(line: str, *beside: str) -> tuple[Said, Said]:
    rest = beside or (PLAIN,)
    return Said(of_pass=rest), Said(of_pass=(*rest, line))


def photo(*lines: str) -> tuple[Said, Said]:
    return Said(), Said(photo=lines)


LIGHT: Final = ('kind = "light-line"', 'file = "laser.jpg"')
PULSES: Final = (PULSED, "peak_time = 0.5", "background_time = 0.5")
LEVELS: Final = (PULSED, "peak_current_a = 120", "background_current_a = 40")
SIDE_ON: Final = Said(top=(PIPE,), photo=('kind = "side-on"', 'file = "side.jpg"'))
KEYS: Final = {
    "kind": (Said(top=(PIPE,)), SIDE_ON),
    "side_on": (Said(top=(PIPE,)), SIDE_ON),
    "light_line": photo(*LIGHT, "step_mm = 5"),
    "pair": photo('kind = "pair"', 'files = ["a.jpg", "b.jpg"]'),
    "step": (Said(photo=(*LIGHT, "step_mm = 4")), Said(photo=(*LIGHT, "step_mm = 5"))),
    "step_at": (
        Said(photo=(*LIGHT, "step_mm = 5")),
        Said(photo=(*LIGHT, "step_mm = 5", "step_at_px = [1200, 840]")),
    ),
    "light_angle": photo(*LIGHT, "light_angle_deg = [45, 2]"),
    "plate": (Said(top=(PIPE,)), Said(top=('shape = "plate"',))),
    "pipe": top('pipe_size = "NPS 8 SCH 60"'),
    "outside_diameter": top(PIPE),
    "wall": top("wall_mm = 10", PIPE),
    "bore": top("bore_mm = 198", PIPE),
    "process": of_pass('process = "gmaw"', "layer = 1"),
    "polarity": of_pass('polarity = "dcep"'),
    "position": top('position = "2G"'),
    "progression": top('progression = "up"'),
    "weld_pass": of_pass('pass = "fill"'),
    "depth": of_pass("depth_mm = 6", 'pass = "fill"'),
    "root_gap": (
        Said(groove=('form = "single-v"',)),
        Said(groove=('form = "single-v"', "root_gap_range_mm = [2.4, 4]")),
    ),
    "layer": of_pass("layer = 3", 'pass = "fill"'),
    "bead": of_pass("bead = 2", 'pass = "fill"'),
    "beads": of_pass("beads = 3", 'pass = "cap"'),
    "groove_width": top("groove_width_mm = 14"),
    "strip_side": top('strip_side = "low"', PIPE),
    "clock": (
        Said(top=(PIPE,)),
        Said(top=(PIPE,), photo=(FIRST, "clock_deg = 90")),
    ),
    "current": of_pass("current_a = 105"),
    "volts": of_pass("volts = 24", PLAIN, "current_a = 105"),
    "peak_current": (
        Said(of_pass=LEVELS),
        Said(of_pass=(PULSED, "peak_current_a = 130", "background_current_a = 40")),
    ),
    "background_current": (
        Said(of_pass=LEVELS),
        Said(of_pass=(PULSED, "peak_current_a = 120", "background_percent = 30")),
    ),
    "peak_volts": of_pass("peak_volts = 12\nbackground_volts = 9", *LEVELS),
    "background_volts": of_pass("background_volts = 9\npeak_volts = 12", *LEVELS),
    "power": of_pass("power_w = 2500"),
    "energy": of_pass("energy_kj = 90\nrun_length_mm = 120"),
    "current_range": of_pass("current_range_a = [90, 130]"),
    "peak_time": of_pass("peak_time = 0.5\nbackground_time = 0.4", PULSED),
    "background_time": of_pass("background_time = 0.4\npeak_time = 0.5", PULSED),
    "times_are": of_pass('times_are = "seconds"', *PULSES),
    "motion": of_pass('motion = "steady"', *PULSES),
    "weave": of_pass('weave = "alternating"', *PULSES),
    "overlap": of_pass("overlap_percent = 60", *PULSES),
    "run_length": of_pass("run_length_mm = 120\narc_time_s = 60"),
    "arc_time": of_pass("arc_time_s = 60\nrun_length_mm = 120"),
    "limits": top('limits = "iso-5817-c"'),
    "guard": top('guard = "95"'),
    "inch": top('units = "inch"'),
    "target": top('target = "card.toml"'),
    "no_target": photo(FIRST, "no_target = true"),
    "print_scale": top("print_scale_mm = 99.8"),
    "along": photo(FIRST, "along_px = [[120, 840], [2210, 905]]"),
    "toes": photo(FIRST, 'toes = "toes.csv"'),
    "sectors": top("sectors = 8", PIPE),
}
"""For each flag a coupon file without it, and one that says it."""
NOT_OF_A_COUPON: Final = {
    "schema": "it measures nothing",
    "each": "photos that are welds of their own are no coupon",
    "jobs": "it belongs to each",
    "time_limit": "it belongs to each",
    "cluster": "it belongs to each",
    "corrects": "it names one measurement, and a coupon file may give several",
}
TOES: Final = "toe,x_px,y_px\nleft,100,200\nleft,300,205\n"


def test_every_flag_has_a_key_or_a_reason():
    command = typer.main.get_command(app)
    flags = {param.name for param in command.commands["measure"].params} - {"help"}
    assert flags == KEYS.keys() | set(BESIDE_FILE) | NOT_OF_A_COUPON.keys()
    assert not KEYS.keys() & NOT_OF_A_COUPON.keys()


@pytest.mark.parametrize("flag", KEYS)
def test_what_a_key_says_changes_what_is_asked(folder, flag):
    (folder / "card.toml").write_text("", "utf-8")
    (folder / "toes.csv").write_text(TOES, "utf-8")
    asked = []
    for said in KEYS[flag]:
        path = folder / "coupon.toml"
        path.write_text(said.text(), "utf-8")
        (only,) = coupon_order(path, CameraBook()).passes
        asked.append(repr(only.requests))
    assert asked[0] != asked[1]
