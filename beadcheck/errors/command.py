"""Refusals of what was typed on the command line."""

from beadcheck.errors.base import SettingError


class NoPhotoGivenError(SettingError):
    """Nothing to measure."""

    code = "no_photo_given"
    problem = "No photo was given."
    remedy = "Name one photo or more, or a folder of photos."


class NoSuchFileError(SettingError):
    """A path leads nowhere."""

    code = "no_such_file"
    problem = "There is no file or folder {path!r}."
    remedy = "Check its name and the folder that you are in."

    def __init__(self, path: str) -> None:
        super().__init__(path)
        self.path = path


class NoPhotoInFolderError(SettingError):
    """A folder without photos."""

    code = "no_photo_in_folder"
    problem = "The folder {path!r} holds no photo ({endings})."
    remedy = "Name a folder with photos, or the photos themselves."

    def __init__(self, path: str, endings: str) -> None:
        super().__init__(path, endings)
        self.path, self.endings = path, endings


class ConflictingFlagsError(SettingError):
    """Two flags that cannot both hold."""

    code = "conflicting_flags"
    problem = "{first} and {second} cannot be given together: {why}."
    remedy = "Leave one of them out."

    def __init__(self, first: str, second: str, why: str) -> None:
        super().__init__(first, second, why)
        self.first, self.second, self.why = first, second, why


class FlagNeedsFlagError(SettingError):
    """A flag that means nothing alone."""

    code = "flag_needs_flag"
    problem = "{flag} means nothing without {needed}."
    remedy = "Give both."

    def __init__(self, flag: str, needed: str) -> None:
        super().__init__(flag, needed)
        self.flag, self.needed = flag, needed


class BadFlagValueError(SettingError):
    """A flag's value that cannot be read or makes no sense."""

    code = "bad_flag_value"
    problem = "{flag} cannot be {value!r}."
    remedy = "{mend}"

    def __init__(self, flag: str, value: str, mend: str) -> None:
        super().__init__(flag, value, mend)
        self.flag, self.value, self.mend = flag, value, mend


class PhotoTwiceError(SettingError):
    """One file named for two kinds of photo."""

    code = "photo_twice"
    problem = "{path!r} was given for two kinds of photo."
    remedy = "Name each photo once, for the kind that it is."

    def __init__(self, path: str) -> None:
        super().__init__(path)
        self.path = path


class NothingToWorkOutError(SettingError):
    """Settings from which no number follows."""

    code = "nothing_to_work_out"
    problem = "Nothing follows from these settings: {lacking}."
    remedy = "Give what is missing, or see --help for examples."

    def __init__(self, lacking: str) -> None:
        super().__init__(lacking)
        self.lacking = lacking


class CouponFileAloneError(SettingError):
    """Something was typed that belongs into the coupon file."""

    code = "coupon_file_alone"
    problem = "{path!r} is a coupon file, which says by itself what is measured{beside}."
    remedy = "Write it into the file, and leave it out here."

    def __init__(self, path: str, flag: str = "") -> None:
        super().__init__(path, flag)
        self.path, self.flag = path, flag
        self.beside = f"; {flag} cannot be given beside it" if flag else ""
