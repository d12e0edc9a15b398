"""Refusals of what was said of the arc: currents, volts, pulse times, travel, weave."""

from beadcheck.errors.base import SettingError


class UnconfirmedTimesError(SettingError):
    """Pulse times of which nobody has said that they are seconds."""

    code = "unconfirmed_times"
    problem = "Nobody has said that {peak:g} and {background:g} are seconds; {follows}."
    remedy = "Look at the panel or its handbook, and say whether they are seconds or dial marks."

    def __init__(
        self,
        peak: float,
        background: float,
        follows: str = "they may be marks of a dial",
    ) -> None:
        super().__init__(peak, background, follows)
        self.peak, self.background, self.follows = peak, background, follows


class DialMarksError(SettingError):
    """Pulse times that are marks of a dial."""

    code = "dial_marks"
    problem = "{peak:g} and {background:g} are marks of a dial: no speed or heat follows from them."
    remedy = "Time ten pulses with a watch, or read the times in seconds out of the handbook."

    def __init__(self, peak: float, background: float) -> None:
        super().__init__(peak, background)
        self.peak, self.background = peak, background


class ArcValueBeyondReachError(SettingError):
    """A number that no arc or run has."""

    code = "arc_value_beyond_reach"
    problem = "{what} of {value:g} {unit} cannot be: it lies between {lowest:g} and {highest:g}."
    remedy = "Check the number and its unit."

    def __init__(self, what: str, value: float, unit: str, lowest: float, highest: float) -> None:
        super().__init__(what, value, unit, lowest, highest)
        self.what, self.value, self.unit = what, value, unit
        self.lowest, self.highest = lowest, highest


class BackgroundAbovePeakError(SettingError):
    """A background current that is no less than the peak current."""

    code = "background_above_peak"
    problem = "The background current of {background_a:g} A is not below the peak of {peak_a:g} A."
    remedy = "Check which is which, and whether the background is set in ampere or in percent."

    def __init__(self, background_a: float, peak_a: float) -> None:
        super().__init__(background_a, peak_a)
        self.background_a, self.peak_a = background_a, peak_a


class RipplesOfWeaveError(SettingError):
    """Ripples on the middle line of a weave, taken for one per pulse."""

    code = "ripples_of_weave"
    problem = (
        "The pauses of this weave alternate between the edges, so the ripples on the middle line "
        "are not one per pulse."
    )
    remedy = "Measure the spacing along one edge: there is one ripple for two pulses, one per side."


class WeaveWithoutPausesError(SettingError):
    """A weave that pauses at the edges, and a torch that never stands."""

    code = "weave_without_pauses"
    problem = (
        "A weave that pauses at the edges and a torch that never stands contradict each other."
    )
    remedy = "Say that the torch stands on the peak, or that there is no weave."


class OverlapBeyondReachError(SettingError):
    """A wanted overlap that no step gives."""

    code = "overlap_beyond_reach"
    problem = "No travel gives an overlap of {percent:g} %."
    remedy = "Ask for 0 % or more, and less than 100 %."

    def __init__(self, percent: float) -> None:
        super().__init__(percent)
        self.percent = percent


class NoBackgroundLeftError(SettingError):
    """A pulse cycle that would be all peak."""

    code = "no_background_left"
    problem = (
        "At {speed_mm_s:.2g} mm/s an overlap of {percent:g} % takes a pulse every "
        "{period_s:.2g} s, which leaves no background beside a peak of {peak_s:g} s."
    )
    remedy = "Travel more slowly, or shorten the peak time."

    def __init__(self, speed_mm_s: float, percent: float, period_s: float, peak_s: float) -> None:
        super().__init__(speed_mm_s, percent, period_s, peak_s)
        self.speed_mm_s, self.percent = speed_mm_s, percent
        self.period_s, self.peak_s = period_s, peak_s
