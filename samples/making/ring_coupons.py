"""Pipe coupons to be photographed all the way round, drawn at random."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from samples.making.bead import BeadStyle
from samples.making.card import Sheet, read_sheets
from samples.making.heat import Skin
from samples.making.recipe import Laid, Metal, Passes, Run
from samples.making.styles import skin_of, style_of
from samples.making.variety import WORDS, metal_of
from samples.making.wrap import Joint, Slack, Wrap

OFF_ONE_PERCENT: Final = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class RingKind:
    """A pipe and what it is welded with."""

    pipe: str
    target: str
    wall_mm: float
    process: str
    photos: int


KINDS: Final = {
    "nps8": RingKind(
        pipe="NPS 8 SCH 60", target="pipe-strip-nps-8.toml", wall_mm=10.31, process="smaw", photos=7
    ),
    "nps2": RingKind(
        pipe="NPS 2 SCH 80",
        target="pipe-strip-nps-2.toml",
        wall_mm=5.54,
        process="gtaw-pulsed",
        photos=6,
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaws:
    """What is not as it should be with a coupon or its photos.

    Attributes
    ----------
    small_print
        The strip is printed 1 % small.
    diameter_off
        The outside diameter is 1 % larger (1) or smaller (-1) than the one entered; 0 for right.
    slack
        The strip stands off the metal over a part of the way.
    missing, duplicate, stranger
        One photo is missing; one is taken twice; one shows another coupon.
    beads
        Side by side: one, or three.
    """

    small_print: bool = False
    diameter_off: int = 0
    slack: bool = False
    missing: bool = False
    duplicate: bool = False
    stranger: bool = False
    beads: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class RingCoupon:
    """A welded pipe with its strip."""

    kind: RingKind
    entered_mm: float
    metal: Metal
    passes: Passes
    laid: Laid
    skin: Skin

    @property
    def wrap(self) -> Wrap:
        """How the strip lies."""
        lie = self.laid.lie
        assert isinstance(lie, Wrap)  # noqa: S101  (made so below)
        return lie


def ring_coupon(
    kind: RingKind, flaws: Flaws, *, targets: Path, rng: np.random.Generator
) -> RingCoupon:
    """Draw a coupon: pipe, strip, and two halves welded upwards from 6 to 12 o'clock."""
    (sheet,) = read_sheets(targets / kind.target)
    entered = sheet.outside_diameter_mm
    assert entered is not None  # noqa: S101  (the shipped strips say so)
    diameter = entered * (1 + OFF_ONE_PERCENT * flaws.diameter_off)
    stainless = kind.process.startswith("gtaw") and bool(rng.random() < 0.6)
    style = _style(kind.process, flaws.beads, rng)
    lanes = _lanes_mm(style, flaws.beads, rng)
    half = style.width_mm * 0.55 + max(abs(v) for v in lanes)
    wrap = _wrapped(sheet, half, diameter, flaws, rng)
    twelve = wrap.s_mm + wrap.sense * float(sheet.clock_zero_mm or 0.0)
    runs = _runs(style, lanes, twelve, wrap.turn_mm, rng)
    metal = metal_of(kind.process, stainless=stainless, diameter=diameter, rng=rng)
    metal = replace(
        metal,
        span_mm=(-wrap.turn_mm / 2, wrap.turn_mm / 2, -rng.uniform(42, 52), rng.uniform(42, 52)),
        thickness_mm=kind.wall_mm,
        spatter=metal.spatter * (4 if kind.process == "smaw" else 1),
        writing=_writing(wrap, rng),
    )
    rough = (0.045 if kind.process == "smaw" else 0.008) * rng.uniform(0.6, 1.3)
    return RingCoupon(
        kind=kind,
        entered_mm=entered,
        metal=metal,
        passes=Passes(
            style=style,
            start_mm=-wrap.turn_mm / 2,
            end_mm=wrap.turn_mm / 2,
            offsets_mm=lanes,
            fillet_mm=rng.uniform(0.06, 0.13),
            rough_mm=rough,
            runs=runs,
        ),
        laid=Laid(sheet=sheet, lie=wrap),
        skin=skin_of(kind.process, stainless=stainless, rng=rng),
    )


def _style(process: str, beads: int, rng: np.random.Generator) -> BeadStyle:
    weave = process == "smaw" and beads == 1 and rng.random() < 0.5
    style = replace(style_of("weave" if weave else process, rng), process=process)
    if process == "smaw":
        width = rng.uniform(7.0, 8.5) if beads > 1 else rng.uniform(9.5, 13.5)
        return replace(style, width_mm=width, crown_mm=min(style.crown_mm, 0.22 * width))
    width = rng.uniform(5.8, 8.0) if beads == 1 else rng.uniform(4.8, 5.6)
    return replace(style, width_mm=width, pitch_mm=width * rng.uniform(0.2, 0.34))


def _lanes_mm(style: BeadStyle, beads: int, rng: np.random.Generator) -> tuple[float, ...]:
    """Where the beads side by side run, in the order they are laid: the last over two or one."""
    if beads == 1:
        return (float(rng.normal(0, 0.3)),)
    gap = style.width_mm * rng.uniform(0.58, 0.68)
    side = float(rng.choice([-1, 1]))
    middle_last = rng.random() < 0.5
    return (-side * gap, side * gap, 0.0) if middle_last else (-side * gap, 0.0, side * gap)


def _wrapped(
    sheet: Sheet, half_mm: float, diameter: float, flaws: Flaws, rng: np.random.Generator
) -> Wrap:
    side = float(rng.choice([-1, 1]))
    off = side * (half_mm + rng.uniform(3.5, 6.0) + sheet.height_mm / 2)
    turn = np.pi * diameter
    # Whoever glues and wraps it looks that it closes: what one joint turns, the next turns back.
    tilt, joints = float(rng.normal(0, 0.05)), []
    lines = np.arange(1, len(sheet.joints_mm) + 1)
    for place, line in zip(sheet.joints_mm, lines, strict=True):
        sign = -1.0 if line % 2 else 1.0
        joints.append(
            Joint(
                x_mm=place,
                gap_mm=float(rng.choice([-1, 1]) * rng.uniform(0.1, 0.4)),
                step_mm=float(rng.choice([-1, 1]) * rng.uniform(0.1, 0.4)),
                turn_deg=float(sign * rng.uniform(0.05, 0.2)),
            )
        )
    slack = None
    if flaws.slack:
        start = rng.uniform(0.15, 0.5) * turn
        slack = Slack(
            from_mm=start,
            to_mm=start + rng.uniform(0.22, 0.4) * turn,
            lift_mm=rng.uniform(0.5, 1.0),
        )
    return Wrap(
        s_mm=float(rng.uniform(-0.5, 0.5) * turn),
        t_mm=off,
        angle_deg=180.0 if side > 0 else 0.0,
        radius_mm=diameter / 2,
        tilt_deg=tilt,
        joints=tuple(joints),
        slack=slack,
        print_scale=1 - OFF_ONE_PERCENT if flaws.small_print else 1 + float(rng.normal(0, 0.0008)),
        ink_mm=rng.uniform(0.0, 0.05),
    )


def _runs(
    style: BeadStyle,
    lanes: tuple[float, ...],
    twelve_mm: float,
    turn_mm: float,
    rng: np.random.Generator,
) -> tuple[Run, ...]:
    """Each lane: one half from 6 to 12 o'clock, then the other over its ends."""
    habits = _habits(style, rng)
    stopping = int(rng.integers(2 * len(lanes)))
    order = np.argsort(np.argsort(lanes))
    runs: list[Run] = []
    for k, offset in enumerate(lanes):
        first = int(rng.choice([-1, 1]))
        at_six = twelve_mm + turn_mm / 2 + rng.normal(0, 3.0)
        at_twelve = twelve_mm + rng.normal(0, 3.0)
        for half, side in enumerate((first, -first)):
            habit = habits[(side + 1) // 2]
            lap = rng.uniform(0.6, 1.1) * style.width_mm if half else 0.0
            # Side 1 rises along falling s, side -1 along growing s.
            low = at_twelve - lap if side > 0 else at_six - turn_mm - lap
            high = at_six + lap if side > 0 else at_twelve + lap
            whole = Run(
                style=habit,
                start_mm=low,
                end_mm=high,
                direction=-side,
                offset_mm=offset,
                lane=int(order[k]),
            )
            runs += _stopped(whole, rng) if 2 * k + half == stopping else [whole]
    return tuple(runs)


def _habits(style: BeadStyle, rng: np.random.Generator) -> tuple[BeadStyle, BeadStyle]:
    """The two halves differ in width and in ripple spacing."""
    wide, apart = rng.uniform(1.02, 1.06), rng.uniform(1.04, 1.12)
    wide, apart = (value ** float(rng.choice([-1, 1])) for value in (wide, apart))
    return tuple(  # type: ignore[return-value]
        replace(
            style,
            width_mm=style.width_mm * wide**sign,
            pitch_mm=style.pitch_mm * apart**sign,
            crown_mm=style.crown_mm * rng.uniform(0.9, 1.1),
        )
        for sign in (1, -1)
    )


def _stopped(run: Run, rng: np.random.Generator) -> list[Run]:
    """The same with a stop and a restart on its crater, somewhere in its middle."""
    length = run.end_mm - run.start_mm
    stop = run.start_mm + length * rng.uniform(0.35, 0.65)
    lap = rng.uniform(0.6, 1.1) * run.style.width_mm
    lower, upper = replace(run, end_mm=stop), replace(run, start_mm=stop)
    if run.direction > 0:
        return [lower, replace(upper, start_mm=stop - lap)]
    return [upper, replace(lower, end_mm=stop + lap)]


def _writing(
    wrap: Wrap, rng: np.random.Generator
) -> tuple[tuple[str, float, float, float, bool], ...]:
    """Some words on the bare side of the pipe."""
    side = -np.sign(wrap.t_mm)
    return tuple(
        (
            str(rng.choice(WORDS)),
            float(rng.uniform(-0.48, 0.4) * wrap.turn_mm),
            float(side * rng.uniform(22, 34)),
            float(rng.normal(0, 8)),
            bool(rng.random() < 0.6),
        )
        for _ in range(int(rng.integers(0, 4)))
    )
