"""Refusals of the setting."""

from beadcheck.errors.base import SettingError


class PipeSizeNotReadableError(SettingError):
    """Words that do not make a pipe size."""

    code = "pipe_size_not_readable"
    problem = "{text!r} is not a pipe size."
    remedy = 'Write it like "NPS 8 SCH 60", "NPS 1-1/2 STD" or "DN 200 SCH 60".'

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.text = text


class UnknownPipeSizeError(SettingError):
    """A nominal size that the table does not hold."""

    code = "unknown_pipe_size"
    problem = "There is no {size} in the pipe table; the nearest are {nearest}."
    remedy = "Choose one of them, or give the outside diameter in mm."

    def __init__(self, size: str, nearest: str) -> None:
        super().__init__(size, nearest)
        self.size, self.nearest = size, nearest


class UnknownScheduleError(SettingError):
    """A schedule that the table does not hold for this size."""

    code = "unknown_schedule"
    problem = "{size} has no schedule {schedule} in the pipe table; it has {known}."
    remedy = "Choose one of them, or leave the schedule out and give the wall in mm."

    def __init__(self, size: str, schedule: str, known: str) -> None:
        super().__init__(size, schedule, known)
        self.size, self.schedule, self.known = size, schedule, known


class NeitherPdfNorPngError(SettingError):
    """A target's file whose ending says neither PDF nor PNG."""

    code = "neither_pdf_nor_png"
    problem = "A target is drawn as PDF or PNG, and {file!r} ends in neither."
    remedy = "Let the name end in .pdf or .png."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class FileThereAlreadyError(SettingError):
    """A target's file that would overwrite another."""

    code = "file_there_already"
    problem = "{file!r} is there already."
    remedy = "Give another name with --out, or overwrite it with --force."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class FileNotWritableError(SettingError):
    """A target's file that cannot be written."""

    code = "file_not_writable"
    problem = "{file!r} cannot be written ({why})."
    remedy = "Name a folder that is there and that you may write to."

    def __init__(self, file: str, why: str) -> None:
        super().__init__(file, why)
        self.file, self.why = file, why


class PipeBeyondStripError(SettingError):
    """No strip can be made for this pipe."""

    code = "pipe_beyond_strip"
    problem = (
        "A strip goes round pipes of {smallest_mm:g} to {largest_mm:g} mm outside diameter; "
        "{outside_diameter_mm:g} mm is beyond that."
    )
    remedy = "Check the diameter, or measure with a board of your own and its target file."

    def __init__(self, outside_diameter_mm: float, smallest_mm: float, largest_mm: float) -> None:
        super().__init__(outside_diameter_mm, smallest_mm, largest_mm)
        self.outside_diameter_mm = outside_diameter_mm
        self.smallest_mm, self.largest_mm = smallest_mm, largest_mm
