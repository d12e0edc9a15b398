"""What a welder says of the arc and the run."""

from dataclasses import dataclass, replace

from beadcheck.arc.power import background_from_percent_a
from beadcheck.arc.pulses import pulses_per_ripple, refuse_restless_weave
from beadcheck.arc.reading import Reading, worked_out
from beadcheck.coupon import Coupon, Process, PulseTimes, RippleLine, TorchMotion, Weave
from beadcheck.errors.arc import BackgroundAbovePeakError
from beadcheck.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyArc:
    """An arc of one current; `volts` is None where nobody read it."""

    current: Reading
    volts: Reading | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PulsedArc:
    """An arc of two currents; the volts are None where nobody read them.

    Attributes
    ----------
    percent
        Background in percent of the peak, where the machine sets it so.

    Raises
    ------
    BackgroundAbovePeakError
        If the background current is not below the peak current.
    """

    peak: SteadyArc
    background: SteadyArc
    percent: Reading | None = None

    def __post_init__(self) -> None:
        peak_a, background_a = self.peak.current.value, self.background.current.value
        if background_a >= peak_a:
            raise BackgroundAbovePeakError(background_a, peak_a)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownPower:
    """Mean instantaneous power, in watt, of a machine that shows it."""

    power: Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedEnergy:
    """Instantaneous energy, in kJ, that a machine counted along a run, and the run's length, in mm.

    It needs no travel speed.
    """

    energy: Reading
    length: Reading


Arc = SteadyArc | PulsedArc | ShownPower | CountedEnergy


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelAtSpeed:
    """Travel at a speed that is known, in mm/s."""

    speed: Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelOfRun:
    """Travel along a run, in mm, that took so long to weld, in seconds."""

    length: Reading
    arc_time: Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelByRipples:
    """Travel that left ripples so far apart, in mm, along one line of the weld."""

    spacing: Reading
    line: RippleLine = RippleLine.MIDDLE


Travel = TravelAtSpeed | TravelOfRun | TravelByRipples


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcSettings:
    """What is known of the arc and the run; what is not known is None.

    Attributes
    ----------
    spot
        Length of the spot under a torch that stands, in mm.
    wanted_overlap_ratio
        Overlap to be reached.

    Raises
    ------
    WeaveWithoutPausesError
        If the torch weaves from pause to pause, and never stands.
    RipplesOfWeaveError
        If ripples on the middle line of such a weave are to give the travel.
    """

    process: Process | None = None
    arc: Arc | None = None
    times: PulseTimes | None = None
    travel: Travel | None = None
    spot: Reading | None = None
    motion: TorchMotion | None = None
    weave: Weave = Weave.NONE
    wanted_overlap_ratio: float | None = None
    outside_diameter_mm: float | None = None

    def __post_init__(self) -> None:
        refuse_restless_weave(self.weave, self.motion)
        if isinstance(self.travel, TravelByRipples):
            pulses_per_ripple(self.weave, self.travel.line)

    def of_coupon(self, coupon: Coupon) -> "ArcSettings":
        """Return the settings with the process and the pulse times that stand with the coupon."""
        return replace(self, process=coupon.process, times=coupon.pulse)


def background_of(peak: Reading, percent: Reading) -> Reading:
    """Background current of a machine that sets it in percent of the peak current."""
    return worked_out(background_from_percent_a, peak, percent, unit=Unit.AMPERE)
