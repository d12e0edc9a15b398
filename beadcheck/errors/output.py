"""Refusals of the place where results are to be written."""

from beadcheck.errors.base import SettingError


class NotAFolderError(SettingError):
    """The output folder's name belongs to a file."""

    code = "not_a_folder"
    problem = "Results cannot go to {path!r}, because that is a file."
    remedy = "Name a folder; it is made if it is not there."

    def __init__(self, path: str) -> None:
        super().__init__(path)
        self.path = path


class FolderNotWritableError(SettingError):
    """The output folder cannot be made or written."""

    code = "folder_not_writable"
    problem = "Results cannot be written to {path!r} ({cause})."
    remedy = "Name a folder that you may write to, on a disk with room."

    def __init__(self, path: str, cause: str) -> None:
        super().__init__(path, cause)
        self.path, self.cause = path, cause


class ForeignFileError(SettingError):
    """A file of the same name was not written by beadcheck."""

    code = "foreign_file"
    problem = "{path!r} is there already and is not a result of beadcheck, so it is left alone."
    remedy = "Move it away, or name another folder."

    def __init__(self, path: str) -> None:
        super().__init__(path)
        self.path = path


class FolderInUseError(SettingError):
    """Another run writes to the output folder."""

    code = "folder_in_use"
    problem = "Another run of beadcheck writes to {path!r} right now."
    remedy = "Wait for its end, or name another folder."

    def __init__(self, path: str) -> None:
        super().__init__(path)
        self.path = path
