"""The form, understood: from the raw values of a browser to what the library takes."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from beadcheck.advice import CurrentRange
from beadcheck.arc import ArcSettings
from beadcheck.coupon import (
    IN_THE_GROOVE,
    MOST_LAYERS,
    Coupon,
    DepthBy,
    PanelTimes,
    PassDepth,
    Polarity,
    Position,
    Process,
    Progression,
    PulseTimes,
    Shape,
    StripSide,
    WeldPass,
)
from beadcheck.coupon.pass_depth import STATED_U_MM
from beadcheck.coupon.shape import WIDEST_GAP_MM
from beadcheck.limits import DecisionRule, Judging, LengthSystem
from beadcheck.report.wording import LengthUnit
from beadcheck_page.arc_entries import entered_arc, entered_range, entered_times
from beadcheck_page.entries import Entries, choice, count, length_mm, text
from beadcheck_page.groove_entries import entered_groove
from beadcheck_page.refusals import MissingEntryError, UnusableEntryError
from beadcheck_page.sizes import size_mm

LOOKED_AT_APART: Final = (WeldPass.FIT_UP, WeldPass.ROOT_SIDE)
"""Where the photo shows no weld yet, or the target from inside."""
SECTORS: Final = (2, 72)
"""Fewest and most sectors of the clock in which a weld is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The form, understood."""

    coupon: Coupon
    arc: ArcSettings
    allowed: CurrentRange | None
    limits: str | None
    judging: Judging
    measured_bar_mm: float | None
    unit: LengthUnit
    without_target: bool
    calibrated: bool
    sectors: int | None = None


def understood(entries: Entries, *, limit_names: Sequence[str]) -> Settings:
    """Check every entry, whatever the form offered: a browser may send anything.

    Raises
    ------
    SettingError
        Something is missing, or makes no sense.
    """
    unit = choice(LengthUnit, entries.unit, "the unit") or LengthUnit.MM
    limits = text(entries.limits, "the limits")
    family = text(entries.limits_of, "the limits")
    if family is not None and limits is None:
        raise MissingEntryError(
            f"The limit set of {family}", "Choose one under “Coupon and pass”, “Limit set”."
        )
    if limits is not None and limits not in limit_names:
        raise UnusableEntryError("The limit set", "there is none of that name")
    if not isinstance(entries.no_target, bool):
        raise UnusableEntryError("The switch for no target", "it is neither on nor off")
    if not isinstance(entries.calibrated, bool):
        raise UnusableEntryError("The switch for the calibration", "it is neither on nor off")
    return Settings(
        coupon=_coupon(entries, unit),
        arc=entered_arc(entries, unit),
        allowed=entered_range(entries),
        limits=limits,
        judging=Judging(
            rule=choice(DecisionRule, entries.guard, "the guard band"),
            system=LengthSystem(unit.value),
        ),
        measured_bar_mm=length_mm(entries.check_bar, "The measured check bar", unit),
        unit=unit,
        without_target=entries.no_target,
        calibrated=entries.calibrated,
        sectors=count(entries.sectors, "The number of sectors", SECTORS),
    )


def coupon_of_target(entries: Entries) -> Coupon:
    """Only what a look hangs on: shape, size of a pipe, a target inside it, a joint without weld.

    Raises
    ------
    SettingError
        That is missing, or makes no sense.
    """
    weld_pass = choice(WeldPass, entries.weld_pass, "the pass")
    if choice(Shape, entries.shape, "the shape") is not Shape.PIPE:
        return Coupon(weld_pass=WeldPass.FIT_UP if weld_pass is WeldPass.FIT_UP else None)
    unit = choice(LengthUnit, entries.unit, "the unit") or LengthUnit.MM
    diameter_mm, wall_mm = _pipe(entries, unit)
    try:
        coupon = Coupon(
            shape=Shape.PIPE,
            outside_diameter_mm=diameter_mm,
            wall_thickness_mm=length_mm(entries.wall_thickness, "The wall thickness", unit)
            or wall_mm,
            bore_mm=_bore_mm(entries, unit),
            weld_pass=weld_pass if weld_pass in LOOKED_AT_APART else None,
        )
    except ValueError as error:
        raise UnusableEntryError("The outside diameter", str(error)) from None
    _ = coupon.strip_diameter_mm  # what is missing is told here
    return coupon


def _coupon(entries: Entries, unit: LengthUnit) -> Coupon:
    shape = choice(Shape, entries.shape, "the shape") or Shape.PLATE
    process = choice(Process, entries.process, "the process")
    position = choice(Position, entries.position, "the position")
    times = entered_times(entries)
    diameter_mm, wall_mm = None, length_mm(entries.wall_thickness, "The wall thickness", unit)
    if shape is Shape.PIPE:
        diameter_mm, wall_of_size_mm = _pipe(entries, unit)
        wall_mm = wall_mm or wall_of_size_mm
    elif position in {Position.FIXED_HORIZONTAL, Position.FIXED_INCLINED}:
        raise UnusableEntryError("The position", f"a plate has no {position.value}")
    weld_pass = choice(WeldPass, entries.weld_pass, "the pass")
    # Nothing is welded in a fit-up, and a plate has no strip: their fields do not show.
    layered, on_pipe = weld_pass is not WeldPass.FIT_UP, shape is Shape.PIPE
    layer = count(entries.layer, "The number of the layer", (1, MOST_LAYERS)) if layered else None
    bead = count(entries.bead, "The number of the bead", (1, MOST_LAYERS)) if layered else None
    beads = count(entries.beads, "The number of beads", (1, MOST_LAYERS)) if layered else None
    strip_side = choice(StripSide, entries.strip_side, "the strip's side") if on_pipe else None
    root_gap_range_mm = _root_gap(entries, unit) if weld_pass is WeldPass.FIT_UP else None
    try:
        return Coupon(
            shape=shape,
            outside_diameter_mm=diameter_mm,
            wall_thickness_mm=wall_mm,
            bore_mm=_bore_mm(entries, unit) if on_pipe else None,
            process=process,
            polarity=choice(Polarity, entries.polarity, "the polarity"),
            position=position,
            progression=choice(Progression, entries.progression, "the progression"),
            weld_pass=weld_pass,
            layer=layer,
            bead=bead,
            beads=beads,
            groove_width_mm=length_mm(entries.groove_width, "The groove's width", unit)
            if layered
            else None,
            strip_side=strip_side,
            depth=_depth(entries, unit) if weld_pass in IN_THE_GROOVE else None,
            groove=entered_groove(entries, root_gap_range_mm),
            root_gap_range_mm=root_gap_range_mm,
            pulse=times if isinstance(times, PulseTimes) else None,
            panel_times=times if isinstance(times, PanelTimes) else None,
        )
    except ValueError as error:
        raise UnusableEntryError("The coupon", str(error)) from None


def _depth(entries: Entries, unit: LengthUnit) -> PassDepth | None:
    depth_mm = length_mm(entries.pass_depth, "The depth of the pass", unit)
    if depth_mm is None:
        return None
    return PassDepth(depth_mm=depth_mm, u_depth_mm=STATED_U_MM, by=DepthBy.ENTERED)


def _bore_mm(entries: Entries, unit: LengthUnit) -> float | None:
    """Bore as measured; its field shows for the root side alone."""
    if entries.weld_pass != WeldPass.ROOT_SIDE.value:
        return None
    return length_mm(entries.bore, "The bore", unit)


def _root_gap(entries: Entries, unit: LengthUnit) -> tuple[float, float] | None:
    least_mm = length_mm(entries.least_root_gap, "The least root opening", unit)
    most_mm = length_mm(entries.most_root_gap, "The largest root opening", unit)
    if least_mm is None and most_mm is None:
        return None
    return least_mm or 0.0, WIDEST_GAP_MM if most_mm is None else most_mm


def _pipe(entries: Entries, unit: LengthUnit) -> tuple[float, float | None]:
    """Outside diameter and, where the schedule is known, wall thickness of the pipe, in mm."""
    free_mm = length_mm(entries.outside_diameter, "The outside diameter", unit)
    if free_mm is not None:
        return free_mm, None
    size = text(entries.pipe_size, "the pipe size")
    if size is None:
        raise MissingEntryError(
            "The outside diameter of the pipe",
            "Choose a pipe size under “Coupon and pass”, or enter the diameter.",
        )
    return size_mm(size, text(entries.schedule, "the schedule"))
