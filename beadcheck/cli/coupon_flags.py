"""From the flags that describe the coupon and the pass to the values that the library takes."""

import math

from beadcheck.cli.take_flags import number_and_uncertainty
from beadcheck.coupon import (
    IN_THE_GROOVE,
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
    TimesAre,
    WeldPass,
)
from beadcheck.coupon.pass_depth import STATED_U_MM
from beadcheck.coupon.pipe_sizes import parse_pipe_size
from beadcheck.coupon.pulse_times import LONGEST_S
from beadcheck.errors.command import (
    BadFlagValueError,
    ConflictingFlagsError,
    FlagNeedsFlagError,
)
from beadcheck.quantity import COVERAGE_FACTOR

PixelPoint = tuple[float, float]
"""x and y in the upright photo, px."""


def coupon_from_flags(
    *,
    plate: bool,
    pipe: str | None,
    outside_diameter_mm: float | None,
    wall_thickness_mm: float | None,
    process: Process | None,
    position: Position | None,
    progression: Progression | None,
    weld_pass: WeldPass | None,
    pulse: PulseTimes | PanelTimes | None,
    bore_mm: float | None = None,
    polarity: Polarity | None = None,
    layer: int | None = None,
    bead: int | None = None,
    beads: int | None = None,
    groove_width_mm: float | None = None,
    strip_side: StripSide | None = None,
    depth: PassDepth | None = None,
    root_gap_range_mm: tuple[float, float] | None = None,
) -> Coupon:
    """Coupon as the flags describe it.

    Raises
    ------
    ConflictingFlagsError
        Two of the flags contradict each other.
    SettingError
        A size that no coupon has, or a pipe size that is not in the table.
    """
    if plate and pipe is not None:
        raise ConflictingFlagsError("--plate", "--pipe", "a coupon is one or the other")
    if plate and outside_diameter_mm is not None:
        raise ConflictingFlagsError("--plate", "--outside-diameter", "a plate has none")
    if pipe is not None and outside_diameter_mm is not None:
        raise ConflictingFlagsError("--pipe", "--outside-diameter", "the size names a diameter")
    if pulse is not None and process not in (None, Process.GTAW_PULSED):
        raise ConflictingFlagsError(
            "--peak-time", f"--process {process.value}", "only a pulsed pass has pulses"
        )
    for flag, count in (("--layer", layer), ("--bead", bead), ("--beads", beads)):
        if count is not None and weld_pass is WeldPass.FIT_UP:
            raise ConflictingFlagsError(flag, "--pass fit-up", "nothing is welded yet")
    _refuse_outside("--outside-diameter", outside_diameter_mm, 10.0, 2500.0)
    _refuse_outside("--wall", wall_thickness_mm, 0.1, 200.0)
    _refuse_outside("--groove-width", groove_width_mm, 0.1, 200.0)
    is_pipe = pipe is not None or outside_diameter_mm is not None
    if bore_mm is not None and not is_pipe:
        raise FlagNeedsFlagError("--bore", "--pipe or --outside-diameter")
    if strip_side is not None and not is_pipe:
        raise FlagNeedsFlagError("--strip-side", "--pipe or --outside-diameter")
    if not is_pipe and position in (Position.FIXED_HORIZONTAL, Position.FIXED_INCLINED):
        raise FlagNeedsFlagError(f"--position {position.value}", "--pipe or --outside-diameter")
    size = None if pipe is None else parse_pipe_size(pipe)
    if size is not None:
        outside_diameter_mm = size.outside_diameter_mm
        if wall_thickness_mm is None:
            wall_thickness_mm = size.wall_thickness_mm
    return Coupon(
        shape=Shape.PIPE if is_pipe else Shape.PLATE,
        outside_diameter_mm=outside_diameter_mm,
        wall_thickness_mm=wall_thickness_mm,
        bore_mm=bore_mm,
        process=process,
        polarity=polarity,
        position=position,
        progression=progression,
        weld_pass=weld_pass,
        layer=layer,
        bead=bead,
        beads=beads,
        groove_width_mm=groove_width_mm,
        strip_side=strip_side,
        depth=depth,
        root_gap_range_mm=root_gap_range_mm,
        pulse=pulse if isinstance(pulse, PulseTimes) else None,
        panel_times=pulse if isinstance(pulse, PanelTimes) else None,
    )


def depth_from_flag(text: str, weld_pass: WeldPass | None) -> PassDepth:
    """Depth of the pass in its groove, as typed.

    Raises
    ------
    BadFlagValueError, FlagNeedsFlagError, DepthBeyondReachError
    """
    if weld_pass not in IN_THE_GROOVE:
        raise FlagNeedsFlagError("--depth", "--pass root, second or fill")
    typed = number_and_uncertainty("--depth", text, example="--depth 7,0.5")
    expanded = typed.expanded_uncertainty
    return PassDepth(
        depth_mm=typed.value,
        u_depth_mm=STATED_U_MM if expanded is None else expanded / COVERAGE_FACTOR,
        by=DepthBy.ENTERED,
    )


def root_gap_from_flag(text: str, weld_pass: WeldPass | None) -> tuple[float, float]:
    """Root opening that the procedure allows, as typed.

    Raises
    ------
    BadFlagValueError, FlagNeedsFlagError
    """
    if weld_pass is not WeldPass.FIT_UP:
        raise FlagNeedsFlagError("--root-gap", "--pass fit-up")
    try:
        least, most = (float(part) for part in text.split(","))
    except ValueError:
        mend = "Give the narrowest and the widest, as in: --root-gap 2.4,4"
        raise BadFlagValueError("--root-gap", text, mend) from None
    return least, most


def pulse_from_flags(
    peak: float | None, background: float | None, times_are: TimesAre | None
) -> PulseTimes | PanelTimes | None:
    """Pulse times, where both are given: in seconds, as their flags ask, or else dial marks.

    Raises
    ------
    FlagNeedsFlagError
        One time without the other, or the answer without the times.
    BadFlagValueError
        A number that is not above 0, or not below 60 seconds.
    """
    if peak is None and background is None:
        if times_are is not None:
            raise FlagNeedsFlagError("--times-are", "--peak-time and --background-time")
        return None
    if peak is None:
        raise FlagNeedsFlagError("--background-time", "--peak-time")
    if background is None:
        raise FlagNeedsFlagError("--peak-time", "--background-time")
    panel = PanelTimes(peak=peak, background=background, times_are=times_are or TimesAre.SECONDS)
    in_seconds = panel.times_are is TimesAre.SECONDS
    mend = (
        f"Give seconds, above 0 and below {LONGEST_S:g}." if in_seconds else "Give what it shows."
    )
    for flag, time in (("--peak-time", peak), ("--background-time", background)):
        if not 0.0 < time < (LONGEST_S if in_seconds else math.inf):
            raise BadFlagValueError(flag, f"{time:g}", mend)
    return panel.confirmed(TimesAre.SECONDS) if in_seconds else panel


def pointed_ends(along: tuple[str, str]) -> tuple[PixelPoint, PixelPoint]:
    """Both ends of the weld that ``--along x0,y0 x1,y1`` points at.

    Raises
    ------
    BadFlagValueError
        Not two different points of two numbers each.
    """
    start, end = (_point(text) for text in along)
    if math.dist(start, end) < 1.0:
        raise BadFlagValueError("--along", " ".join(along), "Give two different ends of the weld.")
    return start, end


def _point(text: str) -> PixelPoint:
    try:
        x, y = (float(part) for part in text.split(","))
    except ValueError:
        x = y = math.nan
    if not (math.isfinite(x) and math.isfinite(y)):
        raise BadFlagValueError("--along", text, "Give two points, as in: --along 120,840 2210,905")
    return x, y


def _refuse_outside(flag: str, value: float | None, lowest: float, highest: float) -> None:
    if value is not None and not lowest <= value <= highest:
        raise BadFlagValueError(
            flag, f"{value:g}", f"Give millimetres between {lowest:g} and {highest:g}."
        )
