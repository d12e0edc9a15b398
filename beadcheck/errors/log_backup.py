"""Refusals of backing the log up, and of restoring it."""

from beadcheck.errors.base import InputFileError, LogError, SettingError


class LogNotEmptyError(LogError):
    """A back-up is to be brought back where there is something already."""

    code = "log_not_empty"
    problem = "The log {address} is in use already, so nothing was brought back into it."
    remedy = "Name a new file with --log, or move the old one away."

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


class BackupNotWrittenError(LogError):
    """The back-up cannot be written."""

    code = "backup_not_written"
    problem = "The back-up {file!r} cannot be written ({why})."
    remedy = "Name a file in a folder that is there, on a disk with room."

    def __init__(self, file: str, why: str) -> None:
        super().__init__(file, why)
        self.file, self.why = file, why


class FileInTheWayError(LogError, SettingError):
    """A back-up would overwrite a file."""

    code = "file_in_the_way"
    problem = "{file!r} is there already and is left alone."
    remedy = "Give another name."

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file


class NotABackupError(InputFileError):
    """The file is no back-up of a log."""

    code = "not_a_backup"
    problem = "{file!r} is not a back-up of a beadcheck log ({why})."
    remedy = "Give a file that beadcheck log backup wrote."

    def __init__(self, file: str, why: str) -> None:
        super().__init__(file, why)
        self.file, self.why = file, why


class BackupNewerError(InputFileError):
    """A back-up whose tables are those of a later version."""

    code = "backup_newer"
    problem = "The back-up {file!r} was written by a newer beadcheck (its layout is {layout!r})."
    remedy = "Update beadcheck; nothing was brought back."

    def __init__(self, file: str, layout: str) -> None:
        super().__init__(file, layout)
        self.file, self.layout = file, layout


class BackupOlderError(InputFileError):
    """A back-up whose tables are those of an earlier version."""

    code = "backup_older"
    problem = "The back-up {file!r} was written by an older beadcheck (its layout is {layout!r})."
    remedy = (
        "Bring it back with that version into a new log, then open this log with the version that "
        "you have now: that brings it up to date."
    )

    def __init__(self, file: str, layout: str) -> None:
        super().__init__(file, layout)
        self.file, self.layout = file, layout


class BackupDamagedError(InputFileError):
    """A back-up whose contents are not what was written."""

    code = "backup_damaged"
    problem = "The back-up {file!r} is damaged at {part}, so nothing was brought back."
    remedy = "Use another back-up, or copy this one again from where it was kept."

    def __init__(self, file: str, part: str) -> None:
        super().__init__(file, part)
        self.file, self.part = file, part
