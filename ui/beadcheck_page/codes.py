"""The two codes that open the page from another device: the class's, and the instructor's."""

import hmac
import secrets
import unicodedata
from dataclasses import dataclass
from typing import Final

from beadcheck_page.refusals import CodesAlikeError, CodeTooSimpleError
from beadcheck_page.roles import Role

LEAST_CHARACTERS: Final = 6
LEAST_DIFFERENT: Final = 3
LONGEST_CODE: Final = 60
"""Characters that are looked at."""
CLASS_DIGITS: Final = 6
INSTRUCTOR_DIGITS: Final = 8
"""Digits, for a gloved thumb on a number pad; `patience` keeps them from being tried through."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Codes:
    """Both codes, as a person reads them: spaces, hyphens and capitals do not count."""

    of_class: str
    of_instructor: str

    def role(self, entered: str) -> Role | None:
        """Role that a code opens; both are compared, in the same time whatever was entered."""
        given = _plain(entered[:LONGEST_CODE]).encode()
        as_class = hmac.compare_digest(given, _plain(self.of_class).encode())
        as_instructor = hmac.compare_digest(given, _plain(self.of_instructor).encode())
        if as_instructor:
            return Role.INSTRUCTOR
        return Role.TRAINEE if as_class else None

    @property
    def only_digits(self) -> bool:
        """Whether a number pad is enough to enter either."""
        return _plain(self.of_class + self.of_instructor).isdecimal()


def codes_for(of_class: str | None, of_instructor: str | None) -> Codes:
    """Codes that were chosen, and random ones for those that were not.

    Raises
    ------
    CodeTooSimpleError
        A chosen code has too few letters and digits.
    CodesAlikeError
        Both are the same.
    """
    for what, chosen in (("class code", of_class), ("instructor's code", of_instructor)):
        if chosen is not None and _is_simple(chosen):
            raise CodeTooSimpleError(what, LEAST_CHARACTERS, LEAST_DIFFERENT)
    codes = Codes(
        of_class=of_class or _random(CLASS_DIGITS),
        of_instructor=of_instructor or _random(INSTRUCTOR_DIGITS),
    )
    if _plain(codes.of_class) == _plain(codes.of_instructor):
        raise CodesAlikeError
    return codes


def _is_simple(chosen: str) -> bool:
    plain = _plain(chosen[:LONGEST_CODE])
    return len(plain) < LEAST_CHARACTERS or len(set(plain)) < LEAST_DIFFERENT


def _random(digits: int) -> str:
    """Random number in two groups, which are easier to carry from a screen to a phone."""
    code = f"{secrets.randbelow(10**digits):0{digits}d}"
    return f"{code[: digits // 2]} {code[digits // 2 :]}"


def _plain(code: str) -> str:
    """Letters and digits of a code alone, in one case."""
    spelt = unicodedata.normalize("NFKC", code).casefold()
    return "".join(character for character in spelt if character.isalnum())
