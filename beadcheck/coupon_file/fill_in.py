"""A coupon file and its procedure card together: the coupon wins, and what differs is told."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import Final

from beadcheck.arc.known import travel_speed
from beadcheck.arc.reading import Reading
from beadcheck.coupon import Shape
from beadcheck.coupon_file.card import PassAsked, ProcedureCard
from beadcheck.coupon_file.parts import CouponFile, JointPart, PassPart

_S_PER_MIN: Final = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """A coupon as it is measured, and where it differs from what its procedure asks for."""

    coupon: CouponFile
    remarks: tuple[str, ...] = ()


def filled_in(coupon: CouponFile, card: ProcedureCard | None) -> Filled:
    """Coupon with what its card adds.

    What the coupon says stays; numbers that were set are never taken from a card, which only says
    what is allowed.
    """
    if card is None:
        return Filled(coupon=coupon)
    asked = {each.name: each for each in card.passes}
    remarks = [
        *_joint_remarks(coupon.joint, card.joint),
        *_differs("limits", coupon.limits, card.limits),
        *_differs("guard", coupon.guard, card.guard),
    ]
    for part in coupon.passes:
        if (of_card := _asked_of(part, asked)) is not None:
            remarks += _pass_remarks(part, of_card)
        elif asked:
            remarks.append(f"pass {part.name!r} is not in it")
    return Filled(
        coupon=replace(
            coupon,
            joint=_joint(coupon.joint, card.joint),
            limits=coupon.limits or card.limits,
            guard=coupon.guard or card.guard,
            units=coupon.units or card.units,
            target=coupon.target or card.target,
            passes=tuple(_pass(each, _asked_of(each, asked)) for each in coupon.passes),
        ),
        remarks=tuple(f"Procedure {card.file}: {remark}." for remark in remarks),
    )


def _asked_of(said: PassPart, asked: Mapping[str, PassAsked]) -> PassAsked | None:
    """What is asked of a pass, by its name, or else by what kind of pass it is.

    A card asks the same of every layer and bead, unless it names one.
    """
    kind = "" if said.weld_pass is None else said.weld_pass.value
    return asked.get(said.name) or asked.get(kind)


def _joint(said: JointPart, asked: JointPart) -> JointPart:
    """Joint as said, and as asked for where nothing is said; a size is taken whole."""
    kept = {each.name: getattr(said, each.name) for each in fields(said)}
    sizes = ("shape", "pipe_size", "outside_diameter_mm")
    size_said = any(kept[name] is not None for name in sizes)
    for name, value in kept.items():
        if value is None and not (size_said and name in (*sizes, "wall_mm")):
            kept[name] = getattr(asked, name)
    return JointPart(**kept)


def _pass(said: PassPart, asked: PassAsked | None) -> PassPart:
    if asked is None:
        return said
    settings = said.settings
    if settings.current_range is None and asked.current_range is not None:
        settings = replace(settings, current_range=asked.current_range)
    return replace(
        said,
        weld_pass=said.weld_pass or asked.weld_pass,
        process=said.process or asked.process,
        polarity=said.polarity or asked.polarity,
        filler=said.filler or asked.filler,
        settings=settings,
    )


def _joint_remarks(said: JointPart, asked: JointPart) -> Iterator[str]:
    for name in ("pipe_size", "outside_diameter_mm", "wall_mm", "position", "progression"):
        yield from _differs(name, getattr(said, name), getattr(asked, name))
    shape = said.shape or (Shape.PIPE if said.is_pipe else None)
    yield from _differs("shape", shape, asked.shape or (Shape.PIPE if asked.is_pipe else None))
    if said.groove is not None and asked.groove is not None:
        for each in fields(said.groove):
            value, other = getattr(said.groove, each.name), getattr(asked.groove, each.name)
            yield from _differs(f"groove {each.name}", value, other)


def _pass_remarks(said: PassPart, asked: PassAsked) -> Iterator[str]:
    where = f"pass {said.name!r}, "
    for remark in (
        *_differs("pass", said.weld_pass, asked.weld_pass),
        *_differs("process", said.process, asked.process),
        *_differs("polarity", said.polarity, asked.polarity),
        *_differs("filler", said.filler, asked.filler),
        *_range_remarks(said, asked),
    ):
        yield where + remark
    if asked.hold_point and not said.signed:
        by = f" by {asked.signer}" if asked.signer else ""
        yield f"{where}its hold point is not signed{by} ({asked.hold_point})"


def _range_remarks(said: PassPart, asked: PassAsked) -> Iterator[str]:
    settings = said.settings
    current = settings.peak_current_a or settings.current_a
    allowed = asked.current_range
    if current is not None and allowed is not None:
        span = (allowed.lowest_a, allowed.highest_a)
        yield from _outside("current_a", current.value, span, "A")
    volts = settings.volts or settings.peak_volts
    if volts is not None:
        yield from _outside("volts", volts.value, asked.volts_range, "V")
    speed = travel_speed(settings.arc_settings)
    if isinstance(speed, Reading):
        per_min = speed.value * _S_PER_MIN
        yield from _outside("travel", per_min, asked.travel_range_mm_per_min, "mm/min")


def _outside(what: str, value: float, span: tuple[float, float] | None, unit: str) -> Iterator[str]:
    if span is not None and not span[0] <= value <= span[1]:
        yield f"{what} is {value:.4g} {unit}, and {span[0]:g} to {span[1]:g} {unit} is asked for"


def _differs(what: str, said: object, asked: object) -> Iterator[str]:
    if said is not None and asked is not None and said != asked:
        yield f"{what} is {_shown(said)}, and {_shown(asked)} is asked for"


def _shown(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)
