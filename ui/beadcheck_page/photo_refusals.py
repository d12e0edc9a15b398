"""Refusals of what was sent: the photos, and what was said about them."""

from beadcheck.errors import PhotoError, SettingError


class FileTooLargeError(PhotoError):
    """More bytes than a photo has."""

    code = "file_too_large"
    problem = "The file is larger than {limit_mb:.0f} MB."
    remedy = "Send the photo itself, as JPEG, HEIC or PNG."

    def __init__(self, limit_mb: float) -> None:
        super().__init__(limit_mb)
        self.limit_mb = limit_mb


class TooManyPhotosError(PhotoError):
    """More photos than one visit holds."""

    code = "too_many_photos"
    problem = "There are already {limit} photos here."
    remedy = "Measure these, press “Start afresh”, then send the next ones."

    def __init__(self, limit: int) -> None:
        super().__init__(limit)
        self.limit = limit


class DiskNearlyFullError(PhotoError):
    """No room for another photo."""

    code = "disk_nearly_full"
    problem = "The disk of the computer that serves this page is nearly full."
    remedy = (
        "Press “Start afresh” on pages that are no longer used, or make room, and send it again."
    )


class UnusableUseError(SettingError):
    """What was said about a photo makes no sense."""

    code = "unusable_use"
    problem = "{what} cannot be used."
    remedy = "Choose or enter it again under the photo."

    def __init__(self, what: str) -> None:
        super().__init__(what)
        self.what = what


class LoneSecondViewError(SettingError):
    """A second view without a first one."""

    code = "lone_second_view"
    problem = "{name} is a second view, and the photo that it belongs to is not here."
    remedy = "Send the photo from above as well, or say under the photo how it was taken."

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name


class TooManyArrivingError(PhotoError):
    """More photos on their way at once than this computer should take in."""

    code = "too_many_arriving"
    problem = "{limit} photos of others are on their way just now."
    remedy = "Send it again in a minute."

    def __init__(self, limit: int) -> None:
        super().__init__(limit)
        self.limit = limit


class StoppedArrivingError(PhotoError):
    """The sender fell silent in the middle of a photo."""

    code = "stopped_arriving"
    problem = "The photo stopped arriving half-way."
    remedy = "Go nearer to the network, and send it again."


class PhotoTookTooLongError(PhotoError):
    """The work on it was stopped."""

    code = "photo_took_too_long"
    problem = "Work on {file} took longer than {limit_s:.0f} seconds and was stopped."
    remedy = "Try it once more; if it stays, take the photo anew, or leave it out."

    def __init__(self, file: str, limit_s: float) -> None:
        super().__init__(file, limit_s)
        self.file, self.limit_s = file, limit_s


class PhotoBrokeOffError(PhotoError):
    """The process that worked on it is gone."""

    code = "photo_broke_off"
    problem = "Work on {file} broke off: this computer ran out of memory, or a program part failed."
    remedy = "Try it once more; if it stays, take the photo anew, or leave it out."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file
