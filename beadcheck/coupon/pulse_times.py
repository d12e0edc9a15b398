"""Pulse times and the way of welding, as the welder confirms them."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from beadcheck.errors.arc import DialMarksError, UnconfirmedTimesError

LONGEST_S: Final = 60.0
"""No pulse lasts a minute; longer is a slip of the pen (common practice, no published source)."""


class TimesAre(StrEnum):
    """What the numbers beside the pulse knobs of a power source count."""

    SECONDS = "seconds"
    DIAL_MARKS = "dial-marks"


class TorchMotion(StrEnum):
    """How the torch goes along while it pulses.

    `STEPPED` stands on the peak and steps on the background, as pulsed GTAW is welded by hand;
    `STEADY` travels on without a stop, as a carriage does.
    """

    STEPPED = "stepped"
    STEADY = "steady"


class Weave(StrEnum):
    """Side motion of a pulsed pass.

    `ALTERNATING` pauses on the peak at one edge, crosses on the background, and pauses on the next
    peak at the other edge.
    """

    NONE = "none"
    ALTERNATING = "alternating"


class RippleLine(StrEnum):
    """Along which line of the weld ripples were counted."""

    MIDDLE = "middle"
    EDGE = "edge"


@dataclass(frozen=True, slots=True, kw_only=True)
class PulseTimes:
    """Times of one current pulse, in seconds.

    Nobody can make them without saying that they are seconds: what a panel shows may be the marks
    of a dial. `PanelTimes.confirmed` takes the welder's answer.

    Raises
    ------
    UnconfirmedTimesError
        If `times_are` says anything but seconds.
    ValueError
        If a time is not above 0 and below `LONGEST_S`.
    """

    peak_s: float
    background_s: float
    times_are: TimesAre

    def __post_init__(self) -> None:
        if self.times_are is not TimesAre.SECONDS:
            raise UnconfirmedTimesError(self.peak_s, self.background_s)
        if not (0.0 < self.peak_s < LONGEST_S and 0.0 < self.background_s < LONGEST_S):
            msg = f"peak and background times must be above 0 and below {LONGEST_S:g} seconds"
            raise ValueError(msg)

    @property
    def period_s(self) -> float:
        """Time from one pulse to the next, in seconds."""
        return self.peak_s + self.background_s

    @property
    def peak_share(self) -> float:
        """Part of the cycle that is peak, as a ratio."""
        return self.peak_s / self.period_s


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelTimes:
    """The numbers beside the peak and background knobs, which nobody has confirmed as seconds.

    Attributes
    ----------
    times_are
        What the welder says that they count; None where nobody has said it yet.
    """

    peak: float
    background: float
    times_are: TimesAre | None = None

    def confirmed(self, answer: TimesAre) -> PulseTimes:
        """Times in seconds, where the welder's answer is that they are.

        Raises
        ------
        DialMarksError
            If they are marks of a dial.
        ValueError
            If, as seconds, they make no pulse.
        """
        if answer is TimesAre.DIAL_MARKS:
            raise DialMarksError(self.peak, self.background)
        return PulseTimes(peak_s=self.peak, background_s=self.background, times_are=answer)

    def refusal(self, follows: str) -> DialMarksError | UnconfirmedTimesError:
        """Why nothing is worked out from them.

        Parameters
        ----------
        follows
            What would follow if they were seconds, as part of a sentence.
        """
        if self.times_are is TimesAre.DIAL_MARKS:
            return DialMarksError(self.peak, self.background)
        return UnconfirmedTimesError(self.peak, self.background, follows)
