"""Refusals of coupon files and procedure cards, beyond those of every file of the user's."""

from beadcheck.errors.base import InputFileError, SettingError


class KeysContradictError(SettingError):
    """Two keys that cannot both hold."""

    code = "keys_contradict"
    problem = "{key} and {other} cannot both be said: {why}."
    remedy = "Leave one of them out."

    def __init__(self, key: str, other: str, why: str) -> None:
        super().__init__(key, other, why)
        self.key, self.other, self.why = key, other, why


class KeyNeedsKeyError(SettingError):
    """A key that means nothing alone."""

    code = "key_needs_key"
    problem = "{key} means nothing without {needed}."
    remedy = "Say both, or neither."

    def __init__(self, key: str, needed: str) -> None:
        super().__init__(key, needed)
        self.key, self.needed = key, needed


class PartNotUsableError(InputFileError):
    """A coupon, pass or photo of the file that makes no sense as a whole."""

    code = "part_not_usable"
    problem = "{place}: {cause}"
    remedy = "{mend}"

    def __init__(self, place: str, cause: str, mend: str) -> None:
        super().__init__(place, cause, mend)
        self.place, self.cause, self.mend = place, cause, mend


class NamedFileMissingError(InputFileError):
    """The file names another that is not there."""

    code = "named_file_missing"
    problem = "{place}: {key} names {path!r}, which is not there."
    remedy = "Paths start at the folder of this file: put it there, or mend the name."

    def __init__(self, place: str, key: str, path: str) -> None:
        super().__init__(place, key, path)
        self.place, self.key, self.path = place, key, path


class PathLeadsOutsideError(InputFileError):
    """A photo's path that leaves the folder of the coupon file."""

    code = "path_leads_outside"
    problem = "{place}: {key} names {path!r}, which lies outside the folder of this file."
    remedy = "Put the photos beside the coupon file, or in a folder below it."

    def __init__(self, place: str, key: str, path: str) -> None:
        super().__init__(place, key, path)
        self.place, self.key, self.path = place, key, path


class PassTwiceError(InputFileError):
    """Two passes of one name."""

    code = "pass_twice"
    problem = "{place}: there is a pass {name!r} already."
    remedy = 'Give each a name of its own, as in: name = "fill, second run"'

    def __init__(self, place: str, name: str) -> None:
        super().__init__(place, name)
        self.place, self.name = place, name


class PhotoOfTwoError(InputFileError):
    """One photo named twice."""

    code = "photo_of_two"
    problem = "{place}: the photo {path!r} is named a second time."
    remedy = "Name each photo once, for the pass and the kind that it shows."

    def __init__(self, place: str, path: str) -> None:
        super().__init__(place, path)
        self.place, self.path = place, path


class NothingToMeasureError(InputFileError):
    """A coupon file without any photo."""

    code = "nothing_to_measure"
    problem = "{file} names no photo, so there is nothing to measure."
    remedy = 'Add a table [[pass.photo]] with a line such as: file = "cap.jpg"'

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class CardForCouponError(InputFileError):
    """A procedure card where a coupon file is wanted."""

    code = "card_for_coupon"
    problem = "{file} is a procedure card, and no coupon."
    remedy = "Name it in a coupon file, as in: procedure = {file!r}"

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file
