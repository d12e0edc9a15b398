"""Refusals of limit sets, beyond those that every file of the user's shares."""

from beadcheck.errors.base import InputFileError


class UnknownLimitSetError(InputFileError):
    """No limit set of that name is shipped, and there is no such file."""

    code = "unknown_limit_set"
    problem = "There is no limit set {name!r}."
    remedy = "Choose one of {known}, or give the path of a TOML file of your own."

    def __init__(self, name: str, known: str) -> None:
        super().__init__(name, known)
        self.name, self.known = name, known


class UnknownLimitKeyError(InputFileError):
    """A key that limit files do not have: ignoring it could change the limit."""

    code = "unknown_limit_key"
    problem = "{place}: there is no key {key} here."
    remedy = "Remove the line, or use one of {known}."

    def __init__(self, place: str, key: str, known: str) -> None:
        super().__init__(place, key, known)
        self.place, self.key, self.known = place, key, known
