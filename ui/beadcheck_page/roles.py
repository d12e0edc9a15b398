"""Who a request comes from, and what of the log that person is shown."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Final

ROLE_HEADER: Final = "x-beadcheck-role"
"""Set by the guard on every request that it lets through; what a browser sends of it is dropped."""


class Role(StrEnum):
    """Who asks: somebody at this computer, or on its network with one of the two codes."""

    HERE = "here"
    INSTRUCTOR = "instructor"
    TRAINEE = "trainee"

    @property
    def sees_class(self) -> bool:
        """Whether everybody's welds are shown side by side, and numbers with the names to them."""
        return self is not Role.TRAINEE


def role_of(headers: Mapping[str, str]) -> Role:
    """Role that the guard wrote into a request; the least where it wrote none.

    Examples
    --------
    >>> role_of({"x-beadcheck-role": "instructor"}), role_of({})
    (<Role.INSTRUCTOR: 'instructor'>, <Role.TRAINEE: 'trainee'>)
    """
    try:
        return Role(headers.get(ROLE_HEADER, ""))
    except ValueError:
        return Role.TRAINEE
