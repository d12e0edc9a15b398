"""Addresses of the log: sheets to print again, and every value as a table.

They open at this computer, and on another device with the instructor's code. With the class code
the sheets of one person open, who has to be named.
"""

import itertools
import logging
import threading
from collections.abc import Iterator
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route

from beadcheck.errors import BeadcheckError
from beadcheck_page.doors import nothing, pages
from beadcheck_page.faults import fault_sentence
from beadcheck_page.guard import visit_token
from beadcheck_page.kept_log import kept_sheet, kept_values
from beadcheck_page.logbook import naming
from beadcheck_page.printing import PrintedPages
from beadcheck_page.roles import role_of
from beadcheck_page.visit_answers import Answer
from beadcheck_page.visits import Visits

_LOG: Final = logging.getLogger(__name__)
BYTE_ORDER_MARK: Final = "\ufeff"
"""By which spreadsheets know that a table is UTF-8."""
_ONE_DRAWN_AT_A_TIME: Final = threading.Lock()
"""A photo of 50 megapixels takes half a gigabyte while it is decoded."""


def log_doors(visits: Visits) -> list[Route]:
    """Return the routes of the log."""
    return [
        Route("/log/values.csv", _table_giver(visits), methods=["GET"]),
        Route("/log/{number:int}/sheet/{paper}", _sheet_drawer(visits), methods=["GET"]),
    ]


def _sheet_drawer(visits: Visits) -> Answer:
    async def draw(request: Request) -> Response:
        asked = request.query_params
        of = None if _sees_class(request) else asked.get("person")
        if not _known(request, visits) or (of is None and not _sees_class(request)):
            return nothing()
        number, paper = request.path_params["number"], request.path_params["paper"]

        def drawn() -> PrintedPages:
            with _ONE_DRAWN_AT_A_TIME:
                return kept_sheet(number, of=of, paper=paper, unit=asked.get("unit", ""))

        return await pages(drawn)

    return draw


def _table_giver(visits: Visits) -> Answer:
    async def give(request: Request) -> Response:
        if not _known(request, visits) or not _sees_class(request):
            return nothing()
        try:
            person = naming(request.query_params.get("person"), None, None).person
            lines = await run_in_threadpool(_begun, kept_values(person))
        except BeadcheckError as refusal:
            return PlainTextResponse(str(refusal), status_code=422)
        except Exception as error:  # the last face before a person
            return PlainTextResponse(fault_sentence(_LOG, error), status_code=500)
        return StreamingResponse(
            lines,
            media_type="text/csv; charset=utf-8",
            headers={"content-disposition": 'attachment; filename="beadcheck-log.csv"'},
        )

    return give


def _begun(lines: Iterator[str]) -> Iterator[str]:
    """Read the first line, so that a refusal comes before anything was sent."""
    return itertools.chain([BYTE_ORDER_MARK, next(lines)], lines)


def _known(request: Request, visits: Visits) -> bool:
    return visits.known(visit_token(request.headers.get("cookie")))


def _sees_class(request: Request) -> bool:
    return role_of(request.headers).sees_class
