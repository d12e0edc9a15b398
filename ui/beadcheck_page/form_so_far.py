"""The form while it is being filled in: what it shows, and what it means so far."""

from collections.abc import Mapping, Sequence
from typing import Any, Final, Literal

import gradio as gr

from beadcheck.coupon import IN_THE_GROOVE, Coupon, GrooveForm, Position, Shape, WeldPass
from beadcheck.errors import BeadcheckError
from beadcheck.photo import PhotoKind
from beadcheck.report.wording import LengthUnit
from beadcheck.units import inches, millimetres
from beadcheck_page.arc_entries import is_pulsed
from beadcheck_page.controls import CHOOSE, NOT_SAID, Fields
from beadcheck_page.entries import ENTRY_NAMES, UNSAID, Entries, finite, is_short_text, showable
from beadcheck_page.field_kinds import LENGTH_LABELS, length_label
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.limit_choices import LimitChoices
from beadcheck_page.lookout import Wanted
from beadcheck_page.parts import Updates
from beadcheck_page.sizes import Choices, schedule_choices, size_mm
from beadcheck_page.takes import face_of, use_of
from beadcheck_page.understanding import coupon_of_target
from beadcheck_page.uses import Use, entered_reference

WITH_PROGRESSION: Final = (
    Position.VERTICAL.value,
    Position.FIXED_HORIZONTAL.value,
    Position.FIXED_INCLINED.value,
)
TILTED: Final = (Position.HORIZONTAL.value, Position.FIXED_INCLINED.value)
"""Positions in which a weld has a high side and a low side."""
SIDE_BY_SIDE: Final = (WeldPass.FILL.value, WeldPass.CAP.value)
WITHOUT_LAYER: Final = (UNSAID, WeldPass.FIT_UP.value)


def entered(fields: Fields, entries: Entries, updates: Updates) -> Updates:
    """Have updates that show and hide fields also show what was entered, lengths with their unit.

    What an update says of a field's value is what counts.
    """
    unit = entered_unit(entries).value
    values: Updates = {}
    for name, field in zip(ENTRY_NAMES, fields, strict=True):
        said: dict[str, Any] = {"value": showable(getattr(entries, name))}
        if name in LENGTH_LABELS:
            said["label"] = length_label(name, unit)
        if field in updates:
            said |= updates[field].constructor_args
        values[field] = type(field)(**said)
    return {**updates, **values}


def field_updates(fields: Fields, entries: Entries, limits: LimitChoices) -> Updates:
    """Show the fields that the entries call for as they were entered, and hide the others.

    Numbers are told too, for Gradio shows 0 for an unhidden blank.
    """
    sets = limits.of(entries.limits_of)
    size = entries.pipe_size
    pipe = entries.shape == Shape.PIPE.value
    choices = schedule_choices(size) if isinstance(size, str) else []
    return {
        fields.pipe_size: gr.Dropdown(value=_word(entries.pipe_size), visible=shown(pipe)),
        fields.schedule: gr.Dropdown(
            choices=[NOT_SAID, *choices],
            value=_chosen(entries.schedule, choices),
            visible=shown(pipe and bool(choices)),
        ),
        fields.limits: gr.Dropdown(
            choices=[CHOOSE, *sets],
            value=_chosen_set(entries.limits, sets),
            visible=shown(sets),
        ),
        fields.outside_diameter: gr.Number(
            value=finite(entries.outside_diameter), visible=shown(pipe)
        ),
        fields.pass_depth: gr.Number(
            value=finite(entries.pass_depth), visible=shown(lies_in_groove(entries.weld_pass))
        ),
        **{
            field: gr.Number(
                value=finite(entered), visible=shown(entries.weld_pass == WeldPass.FIT_UP.value)
            )
            for field, entered in (
                (fields.least_root_gap, entries.least_root_gap),
                (fields.most_root_gap, entries.most_root_gap),
            )
        },
        fields.check_bar: gr.Number(
            value=finite(entries.check_bar), visible=shown(not entries.no_target)
        ),
        fields.unit: gr.Radio(
            value=entered_unit(entries).value, visible=shown(not entries.no_target)
        ),
        fields.progression: gr.Radio(
            value=_word(entries.progression), visible=shown(entries.position in WITH_PROGRESSION)
        ),
        **_rarely_said(fields, entries, pipe=pipe),
        **_groove(fields, entries),
        **_used(fields, entries),
    }


def changed_fields(
    fields: Fields, before: Entries, entries: Entries, limits: LimitChoices
) -> Updates:
    """Show, hide or fill only the fields for which the entries call otherwise than before.

    All others are left alone: while the answer was on its way, somebody may have typed in them.
    """
    last = field_updates(fields, before, limits)
    now = field_updates(fields, entries, limits)
    return {
        field: told for field, told in now.items() if _called_for(told) != _called_for(last[field])
    }


def _called_for(told: Any) -> dict[str, Any]:  # as Gradio types what its components were made with
    return {name: value for name, value in told.constructor_args.items() if name != "value"}


def _rarely_said(fields: Fields, entries: Entries, *, pipe: bool) -> Updates:
    """Show what only some passes and positions have; what was entered always shows."""
    process = entries.process != UNSAID or entries.polarity != UNSAID
    layered = entries.weld_pass not in WITHOUT_LAYER
    root_side = entries.weld_pass == WeldPass.ROOT_SIDE.value
    updates: Updates = {
        fields.bore: gr.Number(value=finite(entries.bore), visible=shown(pipe and root_side)),
        fields.polarity: gr.Radio(value=_word(entries.polarity), visible=shown(process)),
        fields.strip_side: gr.Radio(
            value=_word(entries.strip_side), visible=shown(pipe and entries.position in TILTED)
        ),
    }
    fit_up = entries.weld_pass == WeldPass.FIT_UP.value
    capped = entries.weld_pass == WeldPass.CAP.value
    for field, value, called_for in (
        (fields.layer, finite(entries.layer), layered),
        (fields.bead, finite(entries.bead), layered),
        (fields.beads, finite(entries.beads), entries.weld_pass in SIDE_BY_SIDE),
        (fields.groove_width, finite(entries.groove_width), capped),
    ):
        wanted = called_for or (value is not None and not fit_up)
        updates[field] = gr.Number(value=value, visible=shown(wanted))
    sectors = finite(entries.sectors)
    wanted = pipe or sectors is not None
    updates[fields.sectors] = gr.Number(value=sectors, visible=shown(wanted))
    return updates


def _groove(fields: Fields, entries: Entries) -> Updates:
    """Show the groove once a pass is said, and its sizes once it has a form."""
    form = _word(entries.groove)
    sized = form not in {UNSAID, GrooveForm.NONE.value}
    wanted = form != UNSAID or entries.weld_pass != UNSAID
    return {
        fields.groove: gr.Dropdown(value=form, visible=shown(wanted)),
        **{
            field: gr.Textbox(value=said if is_short_text(said) else "", visible=shown(sized))
            for field, said in (
                (fields.groove_angle, entries.groove_angle),
                (fields.root_gap, entries.root_gap),
                (fields.root_face, entries.root_face),
            )
        },
    }


def lies_in_groove(weld_pass: object) -> bool:
    """Whether a pass was chosen whose depth in the groove counts."""
    return any(weld_pass == each.value for each in IN_THE_GROOVE)


def _chosen_set(entered: object, sets: Choices) -> str:
    """Set that was chosen, or the family's only one."""
    return sets[0][1] if len(sets) == 1 else _chosen(entered, sets)


def _chosen(entered: object, choices: Choices) -> str:
    """What was chosen of these; what a browser sends may be of any kind, and have no hash."""
    return next((choice for _, choice in choices if choice == entered), UNSAID)


def _used(fields: Fields, entries: Entries) -> Updates:
    """Show what the process has: one current, or peak, background and pulses."""
    used = fields.used
    pulsed = is_pulsed(entries)
    entered = dict(zip(fields, entries.values(), strict=True))
    updates: Updates = {
        used.current: gr.Number(value=finite(entries.current), visible=shown(not pulsed))
    }
    for field in used.of_pulses:
        if isinstance(field, gr.Number):
            updates[field] = gr.Number(value=finite(entered[field]), visible=shown(pulsed))
        else:
            updates[field] = gr.Radio(value=_word(entered[field]), visible=shown(pulsed))
    return updates


def wanted_look(
    photo: StoredPhoto,
    entries: Entries,
    *,
    photos: Sequence[StoredPhoto],
    uses: Mapping[str, Use],
    bare: bool,
) -> Wanted | None:
    """What to look for in a photo, as far as the form and what was said of it tell it yet.

    A second view whose first is not here is looked at as a photo from above.
    """
    if bare or entries.no_target is True:
        return Wanted(coupon=Coupon(), without_target=True)
    try:
        coupon = coupon_of_target(entries)
    except BeadcheckError:
        return None
    use = use_of(photo, uses)
    kind = use.kind
    if kind is PhotoKind.LIGHT_LINE:
        step, angle = entered_reference(use)
        return Wanted(coupon=coupon, kind=kind, step=step, light_angle=angle)
    if kind is not PhotoKind.PAIR:
        return Wanted(coupon=coupon, kind=kind)
    others = [other for other in photos if other.key != photo.key]
    first = face_of(photo, others, uses)
    if first is None:
        return Wanted(coupon=coupon)
    return Wanted(coupon=coupon, kind=kind, first_view=first.path)


def shown(wanted: object) -> Literal[True, "hidden"]:
    """Return Gradio's word: "hidden" keeps a field in the page, and so what was entered."""
    return True if wanted else "hidden"


def _word(entered: object) -> str:
    """Choice as entered; told anew with what shows it, else a form that is drawn anew loses it."""
    return entered if is_short_text(entered) else UNSAID


def entered_unit(entries: Entries) -> LengthUnit:
    """Unit in which lengths are entered and shown."""
    return LengthUnit.INCH if entries.unit == LengthUnit.INCH.value else LengthUnit.MM


def converted(entered: object, unit: LengthUnit) -> float | None:
    """Return a length entered in the other unit, in this one."""
    number = finite(entered)
    if number is None:
        return None
    return round(inches(number), 4) if unit is LengthUnit.INCH else round(millimetres(number), 3)


def strip_entered(entries: Entries) -> tuple[float, bool] | None:
    """Diameter that a strip is printed for, and whether it lies inside; None where unknown yet."""
    outside_mm = entered_diameter_mm(entries)
    if outside_mm is None:
        return None
    if entries.weld_pass != WeldPass.ROOT_SIDE.value:
        return outside_mm, False
    try:
        bore_mm = coupon_of_target(entries).strip_diameter_mm
    except BeadcheckError:
        return None
    return None if bore_mm is None else (bore_mm, True)


def entered_diameter_mm(entries: Entries) -> float | None:
    """Outside diameter of a pipe as far as it has been entered, for the links to the strip."""
    if entries.shape != Shape.PIPE.value:
        return None
    free = finite(entries.outside_diameter)
    if free:
        return millimetres(free) if entered_unit(entries) is LengthUnit.INCH else free
    if not isinstance(entries.pipe_size, str) or entries.pipe_size == UNSAID:
        return None
    return size_mm(entries.pipe_size, None)[0]
