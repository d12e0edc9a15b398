"""The photos of a visit as the page lists them, each looked at for what it is to show."""

from beadcheck.coupon import Shape
from beadcheck_page.form_so_far import entered_unit, wanted_look
from beadcheck_page.lookout import Lookout
from beadcheck_page.show import Tray
from beadcheck_page.visits import Visit


def has_unmeasured(visit: Visit) -> bool:
    """Tell whether photos came, went, or were said to be something else since the last order."""
    if visit.order is None:
        return bool(visit.photos)
    measured = {photo.key for photo in visit.order.photos}
    here = {photo.key for photo in visit.photos}
    return here != measured or visit.uses != visit.order.uses


def tray_of(visit: Visit, lookout: Lookout) -> Tray:
    """Return the photos with what is known of them; looks that nobody asked for yet are begun."""
    bare = visit.order.bare if visit.order else frozenset()
    looks = {}
    for photo in visit.photos:
        wanted = wanted_look(
            photo,
            visit.entries,
            photos=visit.photos,
            uses=visit.uses,
            bare=photo.key in bare,
        )
        looks[photo.key] = lookout.look(photo, wanted)
    return Tray(
        photos=visit.photos,
        uses=visit.uses,
        looks=looks,
        unit=entered_unit(visit.entries),
        on_pipe=visit.entries.shape == Shape.PIPE.value,
        calibrated=visit.entries.calibrated is True,
    )
