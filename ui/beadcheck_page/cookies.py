"""Cookies as the page reads and writes them: out of reach of scripts and of other sites."""

from http.cookies import SimpleCookie


def cookie_value(cookies: str | None, name: str) -> str | None:
    """Value of a cookie in a Cookie header, where it is there.

    Examples
    --------
    >>> cookie_value("theme=dark; beadcheck_visit=abc", "beadcheck_visit")
    'abc'
    >>> cookie_value("theme=dark", "beadcheck_visit") is None
    True
    """
    jar: SimpleCookie = SimpleCookie()
    for part in (cookies or "").split(";"):
        key, _, value = part.strip().partition("=")
        if key == name:
            jar[name] = value
    return jar[name].value if name in jar else None


def cookie_set(name: str, value: str, *, age_s: int) -> str:
    """Set-Cookie header for this page alone; an age of 0 takes the cookie away.

    It cannot be marked "Secure": the page is served without encryption.
    """
    return f"{name}={value}; Max-Age={age_s}; Path=/; HttpOnly; SameSite=Strict"
