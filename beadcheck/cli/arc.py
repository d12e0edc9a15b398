"""The subcommand that works out current, heat and pulses from settings, without a photo."""

from typing import Final

from beadcheck.arc import ArcSettings, Travel, TravelByRipples, answers, what_follows
from beadcheck.arc import stated as kinds
from beadcheck.arc.pulses import pulses_per_ripple
from beadcheck.cli import arc_flags as flags
from beadcheck.cli.arc_shown import show_answers
from beadcheck.cli.failures import MEASURED
from beadcheck.cli.settings_flags import (
    ArcFlags,
    arc_from_flags,
    refuse_pulses,
    travel_from_flags,
    typed_reading,
)
from beadcheck.coupon import PanelTimes, Process, PulseTimes, RippleLine, TimesAre, Weave
from beadcheck.coupon.pipe_sizes import parse_pipe_size
from beadcheck.errors.arc import UnconfirmedTimesError
from beadcheck.errors.command import FlagNeedsFlagError

EXAMPLES: Final = """Examples:

\b
  beadcheck arc --process smaw --current 180 --volts 24 --run-length 150 --arc-time 30 --inch
  beadcheck arc --process gtaw-pulsed --peak-current 120 --background-current 30% --volts 11 \
--peak-time 0.5 --background-time 0.5 --times-are seconds --spacing 1.6
  beadcheck arc --spacing 3.1 --spot 4 --motion stepped --overlap 60
"""


def arc(
    *,
    process: flags.ProcessFlag = None,
    current: flags.Current = None,
    volts: flags.Volts = None,
    peak_current: flags.PeakCurrent = None,
    background_current: flags.BackgroundCurrent = None,
    peak_volts: flags.PeakVolts = None,
    background_volts: flags.BackgroundVolts = None,
    power: flags.Power = None,
    energy: flags.Energy = None,
    peak_time: flags.PeakTime = None,
    background_time: flags.BackgroundTime = None,
    times_are: flags.TimesAreFlag = None,
    speed: flags.Speed = None,
    run_length: flags.RunLength = None,
    arc_time: flags.ArcTime = None,
    spacing: flags.Spacing = None,
    ripples_at: flags.RipplesAt = RippleLine.MIDDLE,
    spot: flags.Spot = None,
    motion: flags.Motion = None,
    weave: flags.WeaveFlag = Weave.NONE,
    overlap: flags.Overlap = None,
    pipe: flags.Pipe = None,
    inch: flags.Inch = False,
) -> int:
    """Work out mean current, heat input, travel and pulse overlap from settings, without a photo.

    Each value comes with its expanded uncertainty (k = 2). Where you give none with a number, what
    is usual for a panel, a rule or a watch is taken. Your welding procedure comes first.
    """
    typed = ArcFlags(
        current=current,
        volts=volts,
        peak_current=peak_current,
        background_current=background_current,
        peak_volts=peak_volts,
        background_volts=background_volts,
        power=power,
        energy=energy,
        run_length=run_length,
    )
    refuse_pulses(process, {**typed.of_levels, "--spacing": spacing})
    refuse_pulses(process, {"--peak-time": peak_time, "--background-time": background_time})
    given_arc = arc_from_flags(typed)
    travel = travel_from_flags(typed, arc_time, speed=speed, spacing=spacing, line=ripples_at)
    settings = ArcSettings(
        process=process,
        arc=given_arc,
        times=_times(peak_time, background_time, times_are, travel, weave, process),
        travel=travel,
        spot=typed_reading("--spot", spot, kinds.SPOT),
        motion=motion,
        weave=weave,
        wanted_overlap_ratio=None if overlap is None else overlap / 100.0,
        outside_diameter_mm=None if pipe is None else parse_pipe_size(pipe).outside_diameter_mm,
    )
    show_answers(answers(settings), process, travel, inch=inch)
    return MEASURED


def _times(
    peak: float | None,
    background: float | None,
    answer: TimesAre | None,
    travel: Travel | None,
    weave: Weave,
    process: Process | None,
) -> PulseTimes | None:
    """Pulse times, where both are given and said to be seconds.

    Raises
    ------
    FlagNeedsFlagError
        One time without the other.
    UnconfirmedTimesError, DialMarksError
        Nobody said what they count, or they are dial marks.
    """
    if peak is None and background is None:
        return None
    if peak is None or background is None:
        there, needed = ("--peak-time", "--background-time")[:: 1 if background is None else -1]
        raise FlagNeedsFlagError(there, needed)
    times = PanelTimes(peak=peak, background=background)
    if answer is not None:
        return times.confirmed(answer)
    ripples_mm, apart = None, 1
    if isinstance(travel, TravelByRipples):
        ripples_mm, apart = travel.spacing.value, pulses_per_ripple(weave, travel.line)
    follows = what_follows(times, process, ripples_mm=ripples_mm, pulses=apart)
    raise UnconfirmedTimesError(peak, background, follows)
