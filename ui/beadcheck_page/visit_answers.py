"""How the page's own addresses answer, and whom."""

import json
from collections.abc import Callable, Coroutine
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import Response

from beadcheck_page.guard import OWN_HEADER, visit_token
from beadcheck_page.visits import Visits

GONE: Final = "This page has been idle for too long. Reload it, and send the photo again."
Answer = Callable[[Request], Coroutine[Any, Any, Response]]


def own_token(request: Request, visits: Visits) -> str | None:
    """Token of a change that our own script asks for, in a visit that is known."""
    token = visit_token(request.headers.get("cookie"))
    ours = request.headers.get(OWN_HEADER) is not None
    return token if ours and visits.known(token) else None


def sentence(text: str, status: int) -> Response:
    """Answer for our own script; a refused photo is an answer like any other."""
    return Response(json.dumps({"sentence": text}), status, media_type="application/json")
