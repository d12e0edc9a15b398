"""What a coupon file or a procedure card says that the form has no field for, in sentences."""

from dataclasses import fields

from beadcheck.coupon_file import CouponFile, NumberSaid, PassAsked, PassPart, PhotoPart
from beadcheck.photo import PhotoKind
from beadcheck_page.show.markup import listed


def coupon_notes(coupon: CouponFile, part: PassPart | None) -> list[str]:
    """What of a coupon file is left to do by hand, or has no place in the form."""
    said = []
    photos = () if part is None else part.photos
    if photos:
        named = ", ".join(_photo_words(photo) for photo in photos)
        said.append(f"Its photos are to be added by hand: {named}")
    if coupon.procedure is not None:
        said.append(f"It names the procedure card {coupon.procedure}: load that too")
    left = {
        f"the target {coupon.target}": coupon.target is not None,
    }
    if part is not None:
        settings = part.settings
        left |= {
            "who signed": part.signed is not None,
            "power and energy": settings.power_w is not None or settings.energy_kj is not None,
            "uncertainties of your own": any(
                isinstance(value, NumberSaid) and value.expanded_uncertainty is not None
                for value in (getattr(settings, each.name) for each in fields(settings))
            ),
            "toes placed by hand": any(photo.toes for photo in photos),
        }
    without = [what for what, there in left.items() if there]
    if without:
        said.append(f"The form has no place for {listed(without)}; the file keeps that")
    return said


def _photo_words(photo: PhotoPart) -> str:
    """Files of a take, how it was taken, and what is to be entered under it."""
    notes = [] if photo.kind is PhotoKind.FACE else [photo.kind.value]
    if photo.step is not None:
        notes.append(f"step {photo.step.value:g} mm")
    if photo.light_angle is not None:
        notes.append(f"light at {photo.light_angle.value:g}°")
    if photo.clock_deg is not None:
        notes.append(f"clock position {photo.clock_deg:g}°")
    return " and ".join(photo.files) + (f" ({', '.join(notes)})" if notes else "")


def card_notes(asked: PassAsked | None) -> list[str]:
    """What a procedure asks for beside what fills the form in."""
    if asked is None:
        return []
    spans = {"V": asked.volts_range, "mm/min": asked.travel_range_mm_per_min}
    ranges = [
        f"{span[0]:g} to {span[1]:g} {unit}" for unit, span in spans.items() if span is not None
    ]
    said = [f"Pass {asked.name} also asks for {listed(ranges)}"] if ranges else []
    if asked.hold_point is not None:
        by = "" if asked.signer is None else f", signed by {asked.signer}"
        said.append(f"Hold point of pass {asked.name}: {asked.hold_point}{by}")
    if asked.filler is not None:
        said.append(f"Filler of pass {asked.name}: {asked.filler}")
    return said
