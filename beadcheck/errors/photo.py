"""Refusals of the photo."""

from beadcheck.errors.base import PhotoError


class PhotoMissingError(PhotoError):
    """There is no file of that name."""

    code = "photo_missing"
    problem = "There is no file {file}."
    remedy = "Check the spelling and the folder."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class PhotoIsFolderError(PhotoError):
    """The path leads to a folder or a device."""

    code = "photo_is_folder"
    problem = "{file} is a folder or a device, not a photo."
    remedy = "Name the photo inside it."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class PhotoUnreadableError(PhotoError):
    """The system does not let the file be read."""

    code = "photo_unreadable"
    problem = "{file} cannot be read: {cause}."
    remedy = "Copy the photo to a folder of your own and try again."

    def __init__(self, file: str, cause: str) -> None:
        super().__init__(file, cause)
        self.file, self.cause = file, cause


class PhotoEmptyError(PhotoError):
    """The file holds no bytes."""

    code = "photo_empty"
    problem = "{file} is empty: 0 bytes."
    remedy = "Copy it from the phone again, and wait until the copy is complete."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class PhotoFileTooBigError(PhotoError):
    """The file is bigger than any phone's photo."""

    code = "photo_file_too_big"
    problem = "{file} has {size_mb:.0f} megabytes; at most {limit_mb:.0f} are read."
    remedy = "Save it as a JPEG at full size, or retake it with the phone's own camera."

    def __init__(self, file: str, size_mb: float, limit_mb: float) -> None:
        super().__init__(file, size_mb, limit_mb)
        self.file, self.size_mb, self.limit_mb = file, size_mb, limit_mb


class NotAPhotoError(PhotoError):
    """The contents are no picture."""

    code = "not_a_photo"
    problem = "{file} is not a photo that can be opened: its contents look like {contents}."
    remedy = "Give the photo itself, as JPEG, PNG or HEIC."

    def __init__(self, file: str, contents: str) -> None:
        super().__init__(file, contents)
        self.file, self.contents = file, contents


class RawPhotoError(PhotoError):
    """A raw file, whose only ready picture is a small preview."""

    code = "raw_photo"
    problem = "{file} is a raw photo, which holds only a small preview ready to use."
    remedy = "Save it as a JPEG at full size, or set the camera to JPEG and retake it."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class PhotoDamagedError(PhotoError):
    """The picture begins well and then breaks off or cannot be decoded."""

    code = "photo_damaged"
    problem = "{file} is damaged or cut short: not all of its picture can be read."
    remedy = "Copy it from the phone again, or retake it."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class PhotoTooLargeError(PhotoError):
    """More pixels than are read."""

    code = "photo_too_large"
    problem = "{file} has more than {limit_mp:.0f} megapixels."
    remedy = "Set the camera to between 12 and 50 megapixels, and retake it."

    def __init__(self, file: str, limit_mp: float) -> None:
        super().__init__(file, limit_mp)
        self.file, self.limit_mp = file, limit_mp


class PhotoTooSmallError(PhotoError):
    """Too few pixels to measure anything."""

    code = "photo_too_small"
    problem = (
        "{file} has only {width_px} x {height_px} pixels; at least {needed_width_px} x "
        "{needed_height_px} are needed."
    )
    remedy = "Use the photo as the camera took it, not a preview or a copy shrunk by a messenger."

    def __init__(
        self, file: str, width_px: int, height_px: int, needed_width_px: int, needed_height_px: int
    ) -> None:
        super().__init__(file, width_px, height_px, needed_width_px, needed_height_px)
        self.file = file
        self.width_px, self.height_px = width_px, height_px
        self.needed_width_px, self.needed_height_px = needed_width_px, needed_height_px


class AnimatedPhotoError(PhotoError):
    """Several pictures in one file."""

    code = "photo_animated"
    problem = "{file} holds several pictures (an animation, a burst or pages)."
    remedy = "Save the one sharp picture as a JPEG, or take a plain photo."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class UnsupportedColourError(PhotoError):
    """Colours that cannot be turned into light without guessing."""

    code = "photo_colour"
    problem = "{file} stores its colours as {colours}, which cannot be measured from."
    remedy = "Save it as an ordinary RGB photo (JPEG, PNG or HEIC)."

    def __init__(self, file: str, colours: str) -> None:
        super().__init__(file, colours)
        self.file, self.colours = file, colours
