"""The log as the page uses it: who is in it, and one more measurement in it.

The log's own modules load a database layer; they are loaded once somebody has a result.
"""

import os
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from beadcheck.pipeline.outcome import limit_set_of
from beadcheck_page.entries import UNSAID
from beadcheck_page.orders import Kept, Order, Outcome
from beadcheck_page.refusals import NobodyWeldedItError, NothingToKeepError, TwoWeldersError
from beadcheck_page.sheets import require_photos
from beadcheck_page.take_requests import take_request
from beadcheck_page.visits import Visit

if TYPE_CHECKING:
    from beadcheck.log import LogAddress

LONGEST_NAME: Final = 1000
"""Characters that are looked at; the log itself refuses far shorter ones, and says so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Naming:
    """Who welded it and what the coupon is called, as entered; None where that was left empty."""

    person: str | None
    coupon: str | None


def log_place() -> str:
    """Where the log is, for a person.

    Raises
    ------
    LogError
    """
    from beadcheck.log import log_address  # noqa: PLC0415  # see above

    return str(log_address(os.environ))


def log_so_far() -> "LogAddress | None":
    """Where the log is; None where there is none yet: reading makes none.

    Raises
    ------
    LogError
    """
    from beadcheck.log import log_address  # noqa: PLC0415  # see above

    address = log_address(os.environ)
    return None if address.file is not None and not address.file.exists() else address


def names_in_log() -> tuple[str, ...]:
    """Everybody in the log; nobody where there is none yet.

    Raises
    ------
    LogError
    """
    from beadcheck.log import open_log, people  # noqa: PLC0415  # see above

    address = log_so_far()
    if address is None:
        return ()
    with open_log(address) as log:
        return tuple(person.name for person in people(log))


def naming(chosen: object, written: object, coupon: object) -> Naming:
    """Read what a browser sent of the names.

    Raises
    ------
    TwoWeldersError
    """
    known, new = _said(chosen), _said(written)
    if known is not None and new is not None and known != new:
        raise TwoWeldersError(known, new)
    return Naming(person=known or new, coupon=_said(coupon))


def _said(entered: object) -> str | None:
    if not isinstance(entered, str) or entered == UNSAID:
        return None
    return entered[:LONGEST_NAME].strip() or None


def kept_in_log(visit: Visit, said: Naming) -> Kept:
    """Keep the result of a visit, unless the log holds it under these names already.

    Kept under other names, or measured again with something corrected, it is added as well, and the
    log is told which measurement it takes the place of.

    Raises
    ------
    NothingToKeepError, NobodyWeldedItError, PhotoTakenOutError, LogError
    """
    outcome, order = visit.outcome, visit.order
    if outcome is None or order is None or not is_worth_keeping(outcome):
        raise NothingToKeepError
    earlier = visit.kept_as
    if earlier is not None and _named_alike(earlier, said):
        return earlier
    if said.person is None:
        raise NobodyWeldedItError
    require_photos(outcome)
    return _saved(outcome, order, said.person, said.coupon, visit.kept)


def is_worth_keeping(outcome: Outcome | None) -> bool:
    """Tell whether anything was measured."""
    return outcome is not None and any(photo.usable for photo in outcome.result.photos)


def _named_alike(kept: Kept, said: Naming) -> bool:
    from beadcheck.log import key_of  # noqa: PLC0415  # see above

    known = {key_of(kept.said), key_of(kept.person)}
    same_person = said.person is None or key_of(said.person) in known
    return same_person and (said.coupon is None or key_of(said.coupon) == key_of(kept.coupon))


def _saved(
    outcome: Outcome,
    order: Order,
    person: str,
    coupon: str | None,
    last: Kept | None,
) -> Kept:
    from beadcheck.log import (  # noqa: PLC0415  # see above
        Corrected,
        Correction,
        Entry,
        Run,
        coupon_of_now,
        log_address,
        open_log,
        run_called,
        save,
    )
    from beadcheck.trends import since_last_run  # noqa: PLC0415  # see above

    photos = frozenset(photo.key for photo in outcome.photos)
    earlier = last if last is not None and last.photos == photos else None
    limits = limit_set_of(take_request(order.takes[0], order))
    named = coupon or (earlier.coupon if earlier else coupon_of_now(outcome.measured_at))
    number = earlier.number if earlier else None
    corrections: tuple[Correction, ...] = ()
    if order.hand or earlier is not None:
        what = Corrected.TOES if order.hand else Corrected.OTHER
        corrections = (Correction(what=what, by=person, corrects=number),)
    entry = Entry(
        result=outcome.result,
        photos=tuple(photo.path for photo in outcome.photos),
        person=person,
        coupon=named,
        run=run_called(outcome.result.coupon),
        measured_at=outcome.measured_at,
        limit_set=limits.name,
        limit_edition=limits.edition,
        corrections=corrections,
    )
    run = Run(
        person=person,
        coupon=named,
        name=entry.run,
        weld_pass=outcome.result.coupon.weld_pass,
        process=outcome.result.coupon.process,
        measured_at=outcome.measured_at,
        corrects=number,
    )
    with open_log(log_address(os.environ)) as log:
        since = since_last_run(log, outcome.result, run)
        saved = save(log, entry)
    if since is not None:
        # A number that was said does not tell whose it is.
        since = replace(since, earlier=replace(since.earlier, person=person))
    return Kept(
        number=saved.number,
        result=outcome.result,
        photos=photos,
        said=person,
        person=saved.person,
        coupon=saved.coupon,
        run=saved.run,
        new_person=saved.new_person,
        in_place_of=number,
        since=since,
    )
