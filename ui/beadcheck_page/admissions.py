"""The cookie of a device that gave a code: signed here, so that nothing is stored for it."""

import hmac
import secrets
import time
from collections.abc import Callable
from typing import Final

from beadcheck_page.roles import Role

COOKIE: Final = "beadcheck_admission"
AGE_S: Final = {Role.TRAINEE: 12 * 3600, Role.INSTRUCTOR: 4 * 3600}
"""A school day; less for what shows the whole class, on a device that may be left lying."""


class Admissions:
    """Admits devices for this run of the page: the next one has another key."""

    def __init__(self, *, clock: Callable[[], float] = time.time) -> None:
        self._key, self._clock = secrets.token_bytes(32), clock

    def admit(self, role: Role) -> str:
        """Token that stands for a role until its time is over."""
        said = f"{role.value}.{int(self._clock()) + AGE_S[role]}"
        return f"{said}.{self._signature(said)}"

    def role(self, token: str | None) -> Role | None:
        """Role of a token that was made here and whose time is not over."""
        said, _, signature = (token or "").rpartition(".")
        if not hmac.compare_digest(signature.encode(), self._signature(said).encode()):
            return None
        role, _, ends = said.partition(".")
        return Role(role) if self._clock() < int(ends) else None

    def _signature(self, said: str) -> str:
        return hmac.digest(self._key, said.encode(), "sha256").hex()
