"""A quick look at a photo, without measuring it: would it do, and if not, what to mend."""

from collections.abc import Sequence

from beadcheck.coupon import Coupon, WeldPass
from beadcheck.errors import BeadcheckError
from beadcheck.photo import Photo
from beadcheck.photo_advice.advice import PhotoAdvice, most_harmful_first, refusal_as_advice
from beadcheck.photo_advice.judge import WeldFace, judged_photo
from beadcheck.surface import Surface, print_scale, solve_surface
from beadcheck.target.design import TargetDesign
from beadcheck.target.find import FoundTarget, find_target
from beadcheck.toes import locate_weld
from beadcheck.toes.in_picture import weld_in_picture


def photo_advice(
    photo: Photo, designs: Sequence[TargetDesign], coupon: Coupon
) -> tuple[PhotoAdvice, ...]:
    """Advice on a photo with a target, most harmful first; empty where nothing is wrong.

    The target is found, the surface solved and the weld located as for a measurement, but no toe
    is followed. A joint that is not welded yet shows no weld.
    """
    found: FoundTarget | None = None
    surface: Surface | None = None
    weld: WeldFace | None = None
    stops: list[PhotoAdvice] = []
    try:
        found = find_target(photo, designs)
        surface = solve_surface(found, photo, coupon, print_scale(found.design, None))
        if coupon.weld_pass is not WeldPass.FIT_UP:
            weld = WeldFace.of(locate_weld(photo, surface))
    except BeadcheckError as refusal:
        stops.append(refusal_as_advice(refusal))
    judged = judged_photo(photo, found=found, surface=surface, weld=weld)
    if found is None:
        # What hides the target may show on the weld; whether that is found does not matter here.
        judged += tuple(each for each in photo_advice_without_target(photo) if not each.stops)
    return most_harmful_first([*stops, *judged])


def photo_advice_without_target(photo: Photo) -> tuple[PhotoAdvice, ...]:
    """Advice on a photo that is measured in pixels only, most harmful first."""
    try:
        pictured = weld_in_picture(photo)
    except BeadcheckError as refusal:
        return most_harmful_first([refusal_as_advice(refusal), *judged_photo(photo)])
    weld = WeldFace.of(pictured.weld)
    return most_harmful_first(judged_photo(photo, surface=pictured.surface, weld=weld))
