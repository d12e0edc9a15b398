"""The door through which photos come in."""

import asyncio
import logging
import secrets
import shutil
from functools import partial
from pathlib import Path
from typing import Final

from anyio import CapacityLimiter, to_thread
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response

from beadcheck.errors import BeadcheckError
from beadcheck_page.apart import LookedApart
from beadcheck_page.cameras import calibrated_cameras
from beadcheck_page.faults import fault_sentence
from beadcheck_page.intake import StoredPhoto, photo_key, safe_name
from beadcheck_page.photo_refusals import FileTooLargeError, StoppedArrivingError
from beadcheck_page.uses import FACE, changed_use
from beadcheck_page.visit_answers import GONE, Answer, own_token, sentence
from beadcheck_page.visits import MAX_PHOTO_BYTES, Visits

_LOG: Final = logging.getLogger(__name__)

SILENCE_S: Final = 30.0
LONGEST_S: Final = 900.0
"""Between two pieces of a photo, and for all of it: a phone out of reach frees its place."""


def receiver(visits: Visits, looked: LookedApart, *, silence_s: float = SILENCE_S) -> Answer:
    """Return what takes in one photo of a visit, and answers with a sentence; "" for a welcome."""
    # Who waits here takes no thread from those who press.
    one_at_a_time = CapacityLimiter(1)

    async def receive(request: Request) -> Response:
        token = own_token(request, visits)
        if token is None:
            return sentence(GONE, 403)
        try:
            folder = visits.expect_photo(token)
        except BeadcheckError as refusal:
            return sentence(str(refusal), 200)
        photo, use = None, FACE
        incoming = folder / f"incoming-{secrets.token_hex(8)}"
        try:
            use = changed_use(FACE, request.query_params)
            incoming.mkdir(mode=0o700)
            visit = visits.look(token)
            taken = [photo.name for photo in visit.photos] if visit else []
            sent = incoming / safe_name(request.query_params.get("name", ""), taken=taken)
            await _save_body(request, sent, silence_s=silence_s)
            store = partial(_stored, looked, sent, folder)
            photo = await to_thread.run_sync(store, limiter=one_at_a_time)
            return sentence("", 200)
        except Exception as error:  # the last face before a person
            return _ended_by(error, folder)
        finally:
            shutil.rmtree(incoming, ignore_errors=True)
            visits.photo_came(token, folder, photo, use)

    return receive


def _ended_by(error: Exception, folder: Path) -> Response:
    """Answer where a photo could not be taken into a visit's folder."""
    if isinstance(error, ClientDisconnect):
        return Response(status_code=499)
    if not folder.exists():  # the visit was emptied while the photo was on its way
        return sentence(GONE, 403)
    if isinstance(error, BeadcheckError):
        return sentence(str(error), 200)
    return sentence(fault_sentence(_LOG, error), 500)


async def _save_body(request: Request, path: Path, *, silence_s: float) -> None:
    size, pieces = 0, aiter(request.stream())
    try:
        with path.open("wb") as file:
            async with asyncio.timeout(LONGEST_S):
                while True:
                    async with asyncio.timeout(silence_s):
                        piece = await anext(pieces, None)
                    if piece is None:
                        return
                    size += len(piece)
                    if size > MAX_PHOTO_BYTES:
                        raise FileTooLargeError(MAX_PHOTO_BYTES / 1e6)
                    file.write(piece)
    except TimeoutError:
        raise StoppedArrivingError from None


def _stored(looked: LookedApart, sent: Path, folder: Path) -> StoredPhoto:
    home = folder / photo_key()
    try:
        return looked.store(sent, name=sent.name, home=home, cameras=calibrated_cameras())
    except BaseException:
        shutil.rmtree(home, ignore_errors=True)
        raise
