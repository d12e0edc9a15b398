"""Refusals of the input file."""

from beadcheck.errors.base import InputFileError


class FileNotReadableError(InputFileError):
    """The file cannot be opened as text."""

    code = "file_not_readable"
    problem = "{file!r} cannot be read as text ({why})."
    remedy = "Check its name, and that it is a TOML file that you may open."

    def __init__(self, file: str, why: str) -> None:
        super().__init__(file, why)
        self.file, self.why = file, why


class NotTomlError(InputFileError):
    """The file breaks the grammar of TOML."""

    code = "not_toml"
    problem = "{place}: {what} is not valid TOML{why}."
    remedy = "{mend}"

    def __init__(
        self,
        place: str,
        why: str = "",
        what: str = "this",
        mend: str = "Write it as the examples in the README are written.",
    ) -> None:
        super().__init__(place, why, what, mend)
        self.place, self.why, self.what, self.mend = place, why, what, mend


class MissingKeyError(InputFileError):
    """A key that the format demands is not there."""

    code = "missing_key"
    problem = "{place}: {key} is missing."
    remedy = "Add a line such as: {example}"

    def __init__(self, place: str, key: str, example: str) -> None:
        super().__init__(place, key, example)
        self.place, self.key, self.example = place, key, example


class MisspeltKeyError(InputFileError):
    """A key that the format does not know, but nearly."""

    code = "misspelt_key"
    problem = "{place}: there is no key {key}."
    remedy = "Write {nearest} instead."

    def __init__(self, place: str, key: str, nearest: str) -> None:
        super().__init__(place, key, nearest)
        self.place, self.key, self.nearest = place, key, nearest


class WrongValueError(InputFileError):
    """A key whose value makes no sense."""

    code = "wrong_value"
    problem = "{place}: {key} is {found}, but must be {needed}."
    remedy = ""

    def __init__(self, place: str, key: str, found: str, needed: str) -> None:
        super().__init__(place, key, found, needed)
        self.place, self.key, self.found, self.needed = place, key, found, needed


class MarkerMirroredError(InputFileError):
    """A target file lists a marker's corners the wrong way round."""

    code = "marker_mirrored"
    problem = "{place}: the corners run anticlockwise, as in a mirror."
    remedy = "List them clockwise as printed, from the marker's own top left; x goes right, y down."

    def __init__(self, place: str) -> None:
        super().__init__(place)
        self.place = place


class MarkerIdTwiceError(InputFileError):
    """A target file names one marker twice."""

    code = "marker_id_twice"
    problem = "{place}: there is a marker {marker_id} already."
    remedy = "Give every marker of a target an id of its own."

    def __init__(self, place: str, marker_id: int) -> None:
        super().__init__(place, marker_id)
        self.place, self.marker_id = place, marker_id


class MarkersOverlapError(InputFileError):
    """A target file puts one marker over another."""

    code = "markers_overlap"
    problem = "{place}: markers {one_id} and {other_id} lie over one another."
    remedy = "Check their corners against the printed sheet."

    def __init__(self, place: str, one_id: int, other_id: int) -> None:
        super().__init__(place, one_id, other_id)
        self.place, self.one_id, self.other_id = place, one_id, other_id
