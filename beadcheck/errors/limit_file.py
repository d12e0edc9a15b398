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


class WrongWordError(InputFileError):
    """A word that stands in no list, but nearly."""

    code = "wrong_word"
    problem = "{place}: {key} knows no word {written!r}."
    remedy = 'Write "{nearest}" instead.'

    def __init__(self, place: str, key: str, written: str, nearest: str) -> None:
        super().__init__(place, key, written, nearest)
        self.place, self.key, self.written, self.nearest = place, key, written, nearest


class LimitTwiceError(InputFileError):
    """A limit that stands in the file already, to the letter."""

    code = "limit_twice"
    problem = "{place}: this [[limit]] says the same as the one of {first}."
    remedy = "Remove it, or change what was meant to differ."

    def __init__(self, place: str, first: str) -> None:
        super().__init__(place, first)
        self.place, self.first = place, first


class NothingTakenError(InputFileError):
    """A set is to be taken over, but none of its limits fits."""

    code = "nothing_taken"
    problem = "{place}: {name} has no limit that is asked for here."
    remedy = "See what it has with: beadcheck limits {name}"

    def __init__(self, place: str, name: str) -> None:
        super().__init__(place, name)
        self.place, self.name = place, name
