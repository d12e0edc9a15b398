"""Refusals of a repeatability study."""

from beadcheck.errors.base import InputFileError


class StudyNotReadableError(InputFileError):
    """The list of readings cannot be read as a table."""

    code = "study_not_readable"
    problem = "{file!r} cannot be read as a list of readings ({why})."
    remedy = (
        "Save it from the spreadsheet as CSV with the columns part, by, and photo or value; "
        "beadcheck repeat --form FILE writes an empty one."
    )

    def __init__(self, file: str, why: str) -> None:
        super().__init__(file, why)
        self.file, self.why = file, why


class StudyLineError(InputFileError):
    """A line of the list makes no sense."""

    code = "study_line"
    problem = "{place}: {what}."
    remedy = "Mend that line."

    def __init__(self, place: str, what: str) -> None:
        super().__init__(place, what)
        self.place, self.what = place, what


class StudyUnevenError(InputFileError):
    """Not every part was read equally often by everybody."""

    code = "study_uneven"
    problem = "{who} read {part} {count} times, others up to {most} times."
    remedy = (
        "A crossed study wants every part read equally often by everybody: add the readings that "
        "are missing, or leave that part or person out."
    )

    def __init__(self, who: str, part: str, count: int, most: int) -> None:
        super().__init__(who, part, count, most)
        self.who, self.part, self.count, self.most = who, part, count, most


class StudyTooSmallError(InputFileError):
    """Too few parts, people or readings to tell their shares apart."""

    code = "study_too_small"
    problem = "The study has {parts} parts, {people} people or phones and {trials} readings each."
    remedy = "Take two of each at least; ten parts, three people and three readings are usual."

    def __init__(self, parts: int, people: int, trials: int) -> None:
        super().__init__(parts, people, trials)
        self.parts, self.people, self.trials = parts, people, trials


class StudyPhotoNotMeasuredError(InputFileError):
    """A photo of the study does not give the value that is studied."""

    code = "study_photo_not_measured"
    problem = "{photo} gives no {quantity} ({why})."
    remedy = "Retake that photo, or leave its part out of the list."

    def __init__(self, photo: str, quantity: str, why: str) -> None:
        super().__init__(photo, quantity, why)
        self.photo, self.quantity, self.why = photo, quantity, why
