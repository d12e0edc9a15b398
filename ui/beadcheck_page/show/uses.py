"""What is asked about one photo: how it was taken, and what makes heights of it."""

from typing import Final

from beadcheck.photo import PhotoKind
from beadcheck.report.wording import LengthUnit
from beadcheck.units import inches
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.show.markup import text
from beadcheck_page.uses import U_ANGLES_DEG, Reference, Use

KIND_WORDS: Final = {
    PhotoKind.FACE: "From above",
    PhotoKind.SIDE_ON: "Along the outline of the pipe",
    PhotoKind.LIGHT_LINE: "With a line of light",
    PhotoKind.PAIR: "Second view, from the side",
}
REFERENCE_WORDS: Final = {
    Reference.STEP: "A step of known thickness",
    Reference.ANGLE: "The angle of the light",
}
SURE_WORDS: Final = dict(
    zip(U_ANGLES_DEG, ("set with a jig", "read off a protractor", "judged by eye"), strict=True)
)
COMMON_STEPS: Final = {
    LengthUnit.MM: (("3", "3"), ("4", "4"), ("5", "5"), ("6", "6")),
    LengthUnit.INCH: (("1/8", "0.125"), ("3/16", "0.1875"), ("1/4", "0.25")),
}
"""Thicknesses of key steel and flat bar that are in most shops: shown, and sent."""


def use_fields(
    photo: StoredPhoto,
    use: Use,
    *,
    faces: tuple[StoredPhoto, ...],
    first_view: StoredPhoto | None,
    unit: LengthUnit,
    on_pipe: bool,
    scope: str,
) -> str:
    """Markup of what is asked about one photo.

    Parameters
    ----------
    faces
        Photos from above, to which a second view may belong.
    first_view
        The one of them that this photo belongs to.
    scope
        Part of the page: the same photo may stand in two.
    """
    asked = _kinds(photo, use, on_pipe=on_pipe)
    if use.kind is PhotoKind.LIGHT_LINE:
        asked += _references(photo, use, scope)
        asked += _step(use, unit, photo) if use.reference is Reference.STEP else _angle(use)
    elif use.kind is PhotoKind.PAIR:
        asked += _belongs(first_view, faces)
        if first_view is not None:
            asked += (
                '<details class="bc-fold"><summary>There is a step in view</summary>'
                "<p>A flat piece 3 to 6 mm thick beside the weld makes the heights surer.</p>"
                f"{_step(use, unit, first_view)}</details>"
            )
    if on_pipe and use.kind is not PhotoKind.PAIR:
        asked += _clock(use)
    return (
        f'<div class="bc-use" data-photo="{photo.key}" role="group" '
        f'aria-label="About {text(photo.name)}">{asked}'
        '<p class="bc-use-told" role="alert"></p></div>'
    )


def _kinds(photo: StoredPhoto, use: Use, *, on_pipe: bool) -> str:
    kinds = [
        (kind.value, words)
        for kind, words in KIND_WORDS.items()
        if on_pipe or kind is not PhotoKind.SIDE_ON or use.kind is kind
    ]
    return _choice(
        "kind",
        "How was it taken?",
        kinds,
        chosen=use.kind.value,
        hidden=f" {photo.name}",
    )


def _references(photo: StoredPhoto, use: Use, scope: str) -> str:
    choices = "".join(
        f'<label><input type="radio" name="reference-{scope}-{photo.key}" data-use="reference" '
        f'value="{reference.value}"{" checked" if use.reference is reference else ""}> '
        f"{words}</label>"
        for reference, words in REFERENCE_WORDS.items()
    )
    return f'<fieldset class="bc-which"><legend>What tells the height?</legend>{choices}</fieldset>'


def _step(use: Use, unit: LengthUnit, pictured: StoredPhoto) -> str:
    """Thickness of the step, by button or by number, and its place in the picture."""
    buttons = "".join(
        f'<button type="button" class="bc-small" data-step="{sent}">{shown}'
        f'<span class="bc-hidden"> {unit.value}</span></button>'
        for shown, sent in COMMON_STEPS[unit]
    )
    label = f"Thickness of the step ({unit.value})"
    mark = "Move the mark on the step" if use.step_at else "Show the step in the photo"
    return (
        f"{_number('step', label, _length(use.step_mm, unit), unit)}"
        f'<div class="bc-tools" role="group" aria-label="Common thicknesses">{buttons}</div>'
        '<p class="bc-source">Where the step lies on its place on the printed target, nothing more '
        "is needed. Anywhere else, show it:</p>"
        f'<button type="button" class="bc-small" data-step-board aria-expanded="false">{mark}'
        f"</button>{_step_board(use, pictured)}"
    )


def _step_board(use: Use, pictured: StoredPhoto) -> str:
    at = f"{use.step_at[0]},{use.step_at[1]}" if use.step_at else ""
    return (
        '<div class="bc-step" hidden><p>Tap the top of the step. The arrow keys move the mark.</p>'
        f'<div class="bc-point" data-at="{at}">'
        f'<img src="/photos/{pictured.key}/preview.jpg" loading="lazy" '
        f'width="{pictured.width_px}" height="{pictured.height_px}" '
        f'alt="{text(pictured.name)}, to tap on" draggable="false">'
        '<button type="button" class="bc-handle" data-step-at hidden><span class="bc-hidden">'
        "Mark on the step. Move it with the arrow keys.</span></button></div>"
        '<div class="bc-tools"><button type="button" class="bc-small" data-step-middle>'
        'Mark the middle</button><button type="button" class="bc-small" data-step-clear>'
        "Take the mark away</button></div></div>"
    )


def _angle(use: Use) -> str:
    angle = "" if use.angle_deg is None else f"{use.angle_deg:g}"
    sure = [(f"{u_deg:g}", f"± {u_deg:g}°, {words}") for u_deg, words in SURE_WORDS.items()]
    return (
        f"{_number('angle', 'Angle between the light and straight down (degrees)', angle, None)}"
        f"{_choice('sure', 'How sure is the angle?', sure, chosen=f'{use.u_angle_deg:g}')}"
    )


def _clock(use: Use) -> str:
    clock = "" if use.clock_deg is None else f"{use.clock_deg:.6g}"
    label = "Clock position (degrees from 12 o'clock; 3 o'clock is 90)"
    return (
        f'<details class="bc-fold"{" open" if clock else ""}><summary>No strip in this photo'
        f"</summary>{_number('clock', label, clock, None)}</details>"
    )


def _belongs(first_view: StoredPhoto | None, faces: tuple[StoredPhoto, ...]) -> str:
    if first_view is None:
        return "<p>Send the photo from above too: a second view belongs to a first.</p>"
    if len(faces) == 1:
        return f"<p>Second view of {text(first_view.name)}.</p>"
    choices = [(face.key, face.name) for face in faces]
    return _choice("with", "Second view of which photo?", choices, chosen=first_view.key)


def _choice(
    use: str, label: str, choices: list[tuple[str, str]], *, chosen: str, hidden: str = ""
) -> str:
    options = "".join(
        f'<option value="{text(sent)}"{" selected" if sent == chosen else ""}>{text(shown)}'
        "</option>"
        for sent, shown in choices
    )
    more = f'<span class="bc-hidden">{text(hidden)}</span>' if hidden else ""
    return (
        f'<label class="bc-field"><span>{text(label)}{more}</span>'
        f'<select data-use="{use}">{options}</select></label>'
    )


def _number(use: str, label: str, value: str, unit: LengthUnit | None) -> str:
    in_unit = f' data-unit="{unit.value}"' if unit else ""
    return (
        f'<label class="bc-field"><span>{text(label)}</span><input type="number" min="0" '
        f'step="any" inputmode="decimal" data-use="{use}" data-was="{value}"{in_unit} '
        f'value="{value}"></label>'
    )


def _length(length_mm: float | None, unit: LengthUnit) -> str:
    if length_mm is None:
        return ""
    return f"{inches(length_mm):.4g}" if unit is LengthUnit.INCH else f"{length_mm:.4g}"
