"""From a visit as it stands to the order that would measure it."""

from collections.abc import Sequence

from beadcheck_page.entries import Entries
from beadcheck_page.orders import Order
from beadcheck_page.takes import page_takes
from beadcheck_page.understanding import understood
from beadcheck_page.visits import Visit


def order_of(visit: Visit, entries: Entries, *, limit_names: Sequence[str]) -> Order:
    """Photos and form as an order, with what was pointed at or placed by hand before.

    Raises
    ------
    SettingError
        An entry makes no sense, or a second view has no first one.
    """
    last = visit.order
    return Order(
        takes=page_takes(visit.photos, visit.uses),
        settings=understood(entries, limit_names=limit_names),
        uses=visit.uses,
        pointers=last.pointers if last else {},
        hand=last.hand if last else {},
        bare=last.bare if last else frozenset(),
    )
