"""What stands before the page on a network: a form of its own that asks for the code."""

import asyncio
import base64
import hashlib
import ipaddress
import json
import math
from collections.abc import Mapping
from string import Template
from typing import Final
from urllib.parse import parse_qs, urlsplit

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from beadcheck.result import CAUTION
from beadcheck_page.admissions import AGE_S, COOKIE, Admissions
from beadcheck_page.codes import Codes
from beadcheck_page.cookies import cookie_set, cookie_value
from beadcheck_page.folds import asset
from beadcheck_page.patience import OF_ALL, OF_ONE, Patience
from beadcheck_page.roles import Role
from beadcheck_page.show.markup import text

ENTER: Final = "/enter"
LEAVE: Final = "/leave"
LONGEST_FORM: Final = 1_000
"""Bytes; a code takes a few dozen."""
FORM_PATIENCE_S: Final = 10.0
HANDED_ON: Final = ("forwarded", "via", "x-forwarded-for", "x-forwarded-host", "x-real-ip")
"""Set by a program that hands on what others ask: such a request is not this computer's own."""
ALL: Final = "all"

CLOSED_HEADER: Final = "x-beadcheck-gate"
"""By which the page's script knows that the code is asked for again."""

CLOSED: Final = "The class code comes first: load this page again, and enter it."
WRONG: Final = "That is not the code."
FROM_ELSEWHERE: Final = "This form was sent from another site. Enter the code here."
ASIDE: Final = {
    None: "It stands on the screen of the computer that serves this page. The instructor’s "
    "own code opens the page too.",
    Role.TRAINEE: "This device has the class code. The instructor’s code also shows the class side "
    "by side.",
    Role.INSTRUCTOR: "This device has the instructor’s code, for four hours at most.",
}


class Gate:
    """Knows who may pass, and answers everybody else."""

    def __init__(
        self, codes: Codes, *, of_one: Patience | None = None, of_all: Patience | None = None
    ) -> None:
        self._codes, self._admissions = codes, Admissions()
        self._of_one, self._of_all = of_one or Patience(OF_ONE), of_all or Patience(OF_ALL)
        self._css, self._js = asset("code.css"), asset("code.js")
        self._html = Template(asset("code.html"))

    async def admit(self, request: Request) -> Role | Response:
        """Role of whoever may pass; else, or on the gate's own addresses, its answer."""
        path, method = request.url.path, request.method
        role = self._role(request)
        if path not in {ENTER, LEAVE} and role is not None:
            return role
        if role is Role.HERE:
            return RedirectResponse("/", status_code=303)
        if method == "POST" and path in {ENTER, LEAVE}:
            if not _from_here(request):
                return self._page(role, FROM_ELSEWHERE, status=403)
            return await self._entered(request, role) if path == ENTER else _left()
        if path in {"/", ENTER, LEAVE} and method in {"GET", "HEAD"}:
            return self._page(role)
        said = json.dumps({"detail": CLOSED, "sentence": CLOSED})
        headers = {CLOSED_HEADER: "closed"}
        return Response(said, status_code=403, headers=headers, media_type="application/json")

    def _role(self, request: Request) -> Role | None:
        if is_this_computer(_address(request), request.headers):
            return Role.HERE
        return self._admissions.role(cookie_value(request.headers.get("cookie"), COOKIE))

    async def _entered(self, request: Request, role: Role | None) -> Response:
        entered = await _code_in(request)
        # Nothing is awaited from here on: tries that come at once are counted one after another.
        who = _address(request)
        wait_s = self._wait_s(who)
        if wait_s > 0.0:
            return self._page(role, self._too_many(who), wait_s=wait_s, status=429)
        admitted = self._codes.role(entered)
        if admitted is None:
            self._of_one.failed(who)
            self._of_all.failed(ALL)
            return self._page(role, WRONG, wait_s=self._wait_s(who), status=403)
        answer = RedirectResponse("/", status_code=303)
        token = self._admissions.admit(admitted)
        answer.headers["set-cookie"] = cookie_set(COOKIE, token, age_s=AGE_S[admitted])
        return answer

    def _wait_s(self, who: str) -> float:
        return max(self._of_one.wait_s(who), self._of_all.wait_s(ALL))

    def _too_many(self, who: str) -> str:
        theirs = self._of_one.wait_s(who) > 0.0
        return f"Too many wrong codes {'from this device' if theirs else 'in this network'}."

    def _page(
        self, role: Role | None, why: str = "", *, wait_s: float = 0.0, status: int = 200
    ) -> Response:
        sentence = f"{why} {_wait_words(wait_s)}".strip()
        shown = self._html.substitute(
            css=self._css,
            js=self._js,
            label="Class code" if role is None else "Instructor’s code",
            aside=text(ASIDE[role]),
            told=f'<p class="told" id="told" role="alert">{sentence}</p>' if sentence else "",
            invalid='aria-invalid="true" aria-describedby="told"' if sentence else "",
            mode="numeric" if self._codes.only_digits else "text",
            back="" if role is None else asset("code-back.html"),
            caution=text(CAUTION),
        )
        headers = {"content-security-policy": self._policy(), "referrer-policy": "same-origin"}
        if wait_s > 0.0:
            headers["retry-after"] = str(math.ceil(wait_s))
        return HTMLResponse(shown, status_code=status, headers=headers)

    def _policy(self) -> str:
        """Let through the form's own style and script, and nothing else."""
        return (
            f"default-src 'none'; style-src {_hash(self._css)}; script-src {_hash(self._js)}; "
            "img-src data:; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
        )


def is_this_computer(address: str, headers: Mapping[str, str]) -> bool:
    """Whether a request comes from this computer itself, and from nobody through it.

    Examples
    --------
    >>> is_this_computer("127.0.0.1", {}), is_this_computer("192.168.4.7", {})
    (True, False)
    >>> is_this_computer("127.0.0.1", {"x-forwarded-for": "192.168.4.7"})
    False
    """
    try:
        loop = ipaddress.ip_address(address).is_loopback
    except ValueError:
        return False
    return loop and not any(name in headers for name in HANDED_ON)


def _address(request: Request) -> str:
    return "" if request.client is None else request.client.host


def _from_here(request: Request) -> bool:
    """Whether a form was sent from this page: browsers name the site where it stood."""
    origin = request.headers.get("origin")
    return origin is None or urlsplit(origin).netloc == request.headers.get("host")


async def _code_in(request: Request) -> str:
    """Code in a sent form; "" where there is none, or where the form is longer than ours."""
    body = b""
    try:
        async with asyncio.timeout(FORM_PATIENCE_S):
            async for chunk in request.stream():
                body += chunk
                if len(body) > LONGEST_FORM:
                    return ""
    except TimeoutError:
        return ""
    return parse_qs(body.decode("utf-8", "replace")).get("code", [""])[0]


def _left() -> Response:
    answer = RedirectResponse("/", status_code=303)
    answer.headers["set-cookie"] = cookie_set(COOKIE, "", age_s=0)
    return answer


def _wait_words(wait_s: float) -> str:
    """What to do after a wrong code.

    Examples
    --------
    >>> _wait_words(9.2)
    'Please wait 10 seconds, then enter it again.'
    >>> _wait_words(320.0)
    'Please wait 6 minutes, then enter it again.'
    """
    if wait_s <= 0.0:
        return ""
    if wait_s > 90.0:
        return f"Please wait {math.ceil(wait_s / 60.0)} minutes, then enter it again."
    seconds = math.ceil(wait_s)
    return f"Please wait {seconds} second{'' if seconds == 1 else 's'}, then enter it again."


def _hash(source: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(source.encode()).digest()).decode()}'"
