"""Refusals of the log of measurements."""

from beadcheck.errors.base import InputFileError, LogError, SettingError


class LogNotReachableError(LogError):
    """The database cannot be opened."""

    code = "log_not_reachable"
    problem = "The log {address} cannot be opened ({why})."
    remedy = "Check its name and that you may write there, or name another with --log."

    def __init__(self, address: str, why: str) -> None:
        super().__init__(address, why)
        self.address, self.why = address, why


class LogDriverMissingError(LogError):
    """The address names a database whose driver is not installed."""

    code = "log_driver_missing"
    problem = "The log {address} needs a driver that is not installed."
    remedy = 'Install it with: python -m pip install "beadcheck[postgres]"'

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


class LogAddressError(LogError, SettingError):
    """The address makes no sense."""

    code = "log_address"
    problem = "{address!r} is no address of a log."
    remedy = (
        "Give the path of a file, or a PostgreSQL address such as postgresql://user@server/welds"
    )

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


class LogBusyError(LogError):
    """Another program keeps the database locked."""

    code = "log_busy"
    problem = "Another program has kept the log {address} locked for {wait_s:g} seconds."
    remedy = "Nothing was changed. Wait until it is done, and try again."

    def __init__(self, address: str, wait_s: float) -> None:
        super().__init__(address, wait_s)
        self.address, self.wait_s = address, wait_s


class LogFullError(LogError):
    """There is no room for what is to be written."""

    code = "log_full"
    problem = "The disk is full, so nothing was added to the log {address}."
    remedy = "Make room, and save again; what was saved before is still there."

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


class LogDamagedError(LogError):
    """The database is broken."""

    code = "log_damaged"
    problem = "The log {address} is damaged ({why})."
    remedy = "Move that file away, and bring back the last back-up with: beadcheck log restore FILE"

    def __init__(self, address: str, why: str) -> None:
        super().__init__(address, why)
        self.address, self.why = address, why


class NotALogError(LogError):
    """The database belongs to another program."""

    code = "not_a_log"
    problem = "{address} is a database, but not a log of beadcheck."
    remedy = "Name another file, or an empty database; this one is left alone."

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


class LogNewerError(LogError):
    """The database was written by a later version."""

    code = "log_newer"
    problem = "{address} was written by a newer beadcheck (its layout is {revision!r})."
    remedy = "Update beadcheck; nothing was changed."

    def __init__(self, address: str, revision: str) -> None:
        super().__init__(address, revision)
        self.address, self.revision = address, revision


class LogRefusesError(LogError):
    """The database refuses for a reason that has no sentence of its own."""

    code = "log_refuses"
    problem = "The log {address} refuses ({why})."
    remedy = "Nothing was changed. Try again; if it stays so, bring back the last back-up."

    def __init__(self, address: str, why: str) -> None:
        super().__init__(address, why)
        self.address, self.why = address, why


class PhotoNotKeptError(LogError):
    """A photo's copy cannot be written beside the database."""

    code = "photo_not_kept"
    problem = "{file!r} cannot be kept in {folder} ({why}), so nothing was added to the log."
    remedy = "Make room, or see that you may write there, and save again."

    def __init__(self, file: str, folder: str, why: str) -> None:
        super().__init__(file, folder, why)
        self.file, self.folder, self.why = file, folder, why


class PhotoNotDeletedError(LogError):
    """A photo's copy cannot be deleted."""

    code = "photo_not_deleted"
    problem = "The copy {file!r} in {folder} cannot be deleted ({why}), so nothing was deleted."
    remedy = "See that you may write there and that no program has it open, and try again."

    def __init__(self, file: str, folder: str, why: str) -> None:
        super().__init__(file, folder, why)
        self.file, self.folder, self.why = file, folder, why


class NameNotUsableError(LogError, SettingError):
    """A name of a person, coupon or pass that cannot be kept."""

    code = "name_not_usable"
    problem = "{name!r} cannot be the name of a {what}."
    remedy = "Give 1 to {longest} printable letters; a nickname or a number is enough."

    def __init__(self, name: str, what: str, longest: int) -> None:
        super().__init__(name, what, longest)
        self.name, self.what, self.longest = name, what, longest


class UnknownPersonError(LogError, SettingError):
    """Nobody of that name is in the log."""

    code = "unknown_person"
    problem = "Nobody in the log is called {name!r}{hint}."
    remedy = "See who is there with: beadcheck log people"

    def __init__(self, name: str, nearest: str = "") -> None:
        super().__init__(name, nearest)
        self.name, self.nearest = name, nearest
        self.hint = f"; {nearest!r} is" if nearest else ""


class NoSuchMeasurementError(LogError, SettingError):
    """No measurement has that number."""

    code = "no_such_measurement"
    problem = "The log holds no measurement {number}."
    remedy = "See their numbers with: beadcheck log list"

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


class ReplacedAlreadyError(LogError, SettingError):
    """Another measurement took the place of the one that is to be corrected."""

    code = "replaced_already"
    problem = "Number {number} was corrected before: number {newer} took its place."
    remedy = "Correct that one."

    def __init__(self, number: int, newer: int) -> None:
        super().__init__(number, newer)
        self.number, self.newer = number, newer


class NamesAsTheyAreError(LogError, SettingError):
    """The right names are those that the log has already."""

    code = "names_as_they_are"
    problem = "Number {number} is kept under these names already."
    remedy = "Give another person or another coupon."

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number


class ClassListNotReadableError(InputFileError):
    """A class list that is no text."""

    code = "class_list_not_readable"
    problem = "The class list {file!r} cannot be read ({why})."
    remedy = "Save it from the spreadsheet as CSV (UTF-8)."

    def __init__(self, file: str, why: str) -> None:
        super().__init__(file, why)
        self.file, self.why = file, why


class NobodyInClassListError(InputFileError):
    """A class list without anybody."""

    code = "nobody_in_class_list"
    problem = "The class list {file!r} names nobody."
    remedy = (
        "Give a line to each learner, with a nickname or a number; a first line may say name, "
        "number and class."
    )

    def __init__(self, file: str) -> None:
        super().__init__(file)
        self.file = file
