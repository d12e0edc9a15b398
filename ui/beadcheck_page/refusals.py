"""Refusals of the page: what was entered, and what was asked for."""

from beadcheck.errors import SettingError


class MissingEntryError(SettingError):
    """Something that the other entries call for was left empty."""

    code = "missing_entry"
    problem = "{what} is missing."
    remedy = "{mend}"

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what, mend)
        self.what, self.mend = what, mend


class NoMeasureError(SettingError):
    """What stands in a field of the coupon file is no length or angle."""

    code = "no_measure"
    problem = "{what} {entered!r} is no {kind} above 0."
    remedy = "Write it as {example}, or leave it empty."

    def __init__(self, what: str, entered: str, kind: str, example: str) -> None:
        super().__init__(what, entered, kind, example)
        self.what, self.entered, self.kind, self.example = what, entered, kind, example


class UnusableEntryError(SettingError):
    """An entry that makes no sense."""

    code = "unusable_entry"
    problem = "{what} cannot be used: {because}."
    remedy = "Correct it under “Coupon and pass”, and press Measure again."

    def __init__(self, what: str, because: str) -> None:
        super().__init__(what, because)
        self.what, self.because = what, because


class UnusableSettingError(UnusableEntryError):
    """A setting of the arc or the run that makes no sense."""

    code = "unusable_setting"
    remedy = "Correct it under “Settings used”, and press Measure again."


class NoPhotoYetError(SettingError):
    """Measure was pressed before there was a photo."""

    code = "no_photo_yet"
    problem = "There is no photo yet."
    remedy = "Take or choose one first."


class StillReceivingError(SettingError):
    """Measure was pressed while a photo was on its way."""

    code = "still_receiving"
    problem = "A photo is still on its way."
    remedy = "Wait until it is listed, then press Measure."


class StillMeasuringError(SettingError):
    """Measure was pressed while the last measurement was running."""

    code = "still_measuring"
    problem = "The last measurement is still running."
    remedy = "Its result will appear below."


class TooManyWaitingError(SettingError):
    """Measure was pressed while too many were waiting already."""

    code = "too_many_waiting"
    problem = "{waiting} measurements are waiting already."
    remedy = "Press Measure again in a few minutes: the photos stay here."

    def __init__(self, waiting: int) -> None:
        super().__init__(waiting)
        self.waiting = waiting


class NothingToKeepError(SettingError):
    """Keep was pressed without a result."""

    code = "nothing_to_keep"
    problem = "There is no result to keep."
    remedy = "Measure a photo first."


class NobodyWeldedItError(SettingError):
    """Keep was pressed before anybody was named."""

    code = "nobody_welded_it"
    problem = "It is not said who welded it."
    remedy = "Choose somebody, or write a nickname or a number, and press Keep again."


class NothingLoggedError(SettingError):
    """Something of the log is wanted, and nothing is in it or chosen."""

    code = "nothing_logged"
    problem = "No measurement of the log is chosen, or none was kept yet."
    remedy = "Keep a result first, then choose it in the list."


class NoRightNameError(SettingError):
    """A name is to be put right, and no right one was given."""

    code = "no_right_name"
    problem = "It is not said what is right."
    remedy = "Choose or write who welded it, or write the right coupon, and press the button again."


class TwoWeldersError(SettingError):
    """One person was chosen and another written."""

    code = "two_welders"
    problem = "{chosen} is chosen, and {written} is written."
    remedy = "Leave one of them out, and press Keep again."

    def __init__(self, chosen: str, written: str) -> None:
        super().__init__(chosen, written)
        self.chosen, self.written = chosen, written


class PhotoTakenOutError(SettingError):
    """A photo of the result was taken out of the visit after it was measured."""

    code = "photo_taken_out"
    problem = "{name} belongs to this result and was removed from the page."
    remedy = "Press Measure again, or send the photo once more and measure it."

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name


class PointsTooCloseError(SettingError):
    """The two taps do not show a direction."""

    code = "points_too_close"
    problem = "The two ends of the weld are not marked, or lie on top of each other."
    remedy = "Tap one end of the weld, then the other end."


class TooFewTapsError(SettingError):
    """The taps show no line."""

    code = "too_few_taps"
    problem = "A toe needs two points or more."
    remedy = "Open the photo under its result again, and tap along the toe from end to end."


class TappedToesCrossError(SettingError):
    """The two lines cross, so neither can be a toe all along."""

    code = "tapped_toes_cross"
    problem = "The two toes that you placed cross."
    remedy = "Choose the toe first, and then tap along it."


class TappedToesOnOneSideError(SettingError):
    """Both lines lie along one toe."""

    code = "tapped_toes_on_one_side"
    problem = "Both toes that you placed lie on the same side of the weld."
    remedy = "Place one line along each toe."


class WhoseToesError(SettingError):
    """The taps belong to a photo that is not here any more."""

    code = "whose_toes"
    problem = "The photo whose toe you placed is not in this result."
    remedy = "Open the photo under its result once more."


class UnusableGaugeReadingError(SettingError):
    """A gauge reading that is no length."""

    code = "unusable_gauge_reading"
    problem = "What stands for the gauge at {place} is no length."
    remedy = "Enter a number of 0 or above, or leave the field empty."

    def __init__(self, place: str) -> None:
        super().__init__(place)
        self.place = place


class NothingToGaugeError(SettingError):
    """A comparison was asked for without a result or without readings."""

    code = "nothing_to_gauge"
    problem = "There is nothing to compare yet."
    remedy = "Measure a photo, and enter what the gauge reads at some of its places."


class ResultChangedError(SettingError):
    """The readings were typed beside a result that is no longer the page's."""

    code = "result_changed"
    problem = "These readings were entered beside a result that was measured anew since."
    remedy = "Open this part again, and enter them beside the new values."


class PortTakenError(SettingError):
    """Another program listens on the port."""

    code = "port_taken"
    problem = "Port {port} is in use by another program."
    remedy = "Stop that program, or choose another port."

    def __init__(self, port: int) -> None:
        super().__init__(port)
        self.port = port


class CodeTooSimpleError(SettingError):
    """A chosen code that could be guessed or tried through."""

    code = "code_too_simple"
    problem = "The {what} is too short or too plain."
    remedy = (
        "Choose {least} letters or digits or more, {different} of them different, or leave it out "
        "for a random one."
    )

    def __init__(self, what: str, least: int, different: int) -> None:
        super().__init__(what, least, different)
        self.what, self.least, self.different = what, least, different


class CodesAlikeError(SettingError):
    """One code was chosen for the class and for the instructor."""

    code = "codes_alike"
    problem = "The class code and the instructor's code are the same."
    remedy = "Choose two, or leave one of them out for a random one."


class CodeWithoutNetworkError(SettingError):
    """A code was chosen for a page that only this computer can open."""

    code = "code_without_network"
    problem = "A code is for other devices, and without --lan none can open the page."
    remedy = "Add --lan, or leave the code out."
