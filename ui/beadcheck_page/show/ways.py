"""How to take the photo that shows what is still missing: a drawing, three steps, a button."""

from dataclasses import dataclass
from importlib import resources
from typing import Final

from beadcheck.coupon import Shape
from beadcheck.report.wording import quantity_words
from beadcheck_page.asking import Way, missing_heights, ways
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.orders import Outcome
from beadcheck_page.show.markup import listed, text


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What is said of one way; `needs` and `gives` stand on the folded part."""

    title: str
    needs: str
    gives: str
    steps: tuple[str, str, str]


TOLD: Final = {
    Way.SIDE_ON: Told(
        title="Along the outline of the pipe",
        needs="Needs only the phone.",
        gives="Gives height, toe angles and undercut at one clock position.",
        steps=(
            "Wrap the strip close beside the weld. Put something plain and evenly lit behind the "
            "pipe, such as a sheet of paper.",
            "Hold the phone about 20 cm (8 in) away, in line with the weld, and look along the "
            "metal, so that the bead stands out on the outline of the pipe.",
            "Tap the outline on the screen, so that it is sharp there. The strip's markers stay in "
            "view.",
        ),
    ),
    Way.LIGHT_LINE: Told(
        title="With a line of light",
        needs="Needs a line laser, or a lamp and a steel rule, and a step 3 to 6 mm thick.",
        gives="Gives height, toe angles and undercut along the line; each further photo, one more.",
        steps=(
            "Lay the step, such as key steel, flat on the place that the target marks for it, or "
            "on bare metal beside the weld. The edge of a card is too thin to serve.",
            "Let one straight line of light fall across the weld, the metal on both sides and the "
            "step. It comes in at a slant, 40 to 60° from straight down. The sharp edge of a "
            "rule's shadow serves as well; the phone's own light does not.",
            "Hold the phone straight above, about 20 cm (8 in) away, the target in view. A thin "
            "line measures best: turn bright lights away.",
        ),
    ),
    Way.PAIR: Told(
        title="A second view from the side",
        needs="Needs only the phone; a step 3 to 6 mm thick in both photos makes it surer.",
        gives="Gives the height all along the weld; a narrow undercut may stay hidden.",
        steps=(
            "Leave the target where it is: it must not move between the two photos.",
            "From where photo 1 was taken, move the phone along the weld, 5 cm (2 in) for every "
            "20 cm (8 in) of distance, and turn it so that the same place is in the middle: the "
            "views are then 10 to 25° apart.",
            "Weld and target are in view and sharp, as in photo 1, and no glare hides the bead.",
        ),
    ),
}


def asked_ways(outcome: Outcome | None) -> str:
    """Markup that asks for the further photo; empty where no height is missing."""
    missing = missing_heights(outcome)
    if outcome is None or not missing:
        return ""
    shape = "pipe" if outcome.result.coupon.shape == Shape.PIPE else "plate"
    names = listed(quantity_words(name) for name in missing)
    shown = "".join(
        _way(way, outcome, opened=not number) for number, way in enumerate(ways(outcome.result))
    )
    return (
        f'<section class="bc-ways bc-shape-{shape}" data-asked="{outcome.key}">'
        '<h2 tabindex="-1">Height is still missing</h2>'
        f"<p>The limits ask for {text(names)}, and the photos here do not show that. One more "
        "photo of the same weld does. Choose the way that suits you:</p>"
        f"{shown}</section>"
    )


def to_ways(outcome: Outcome) -> str:
    """Button that leads to where the further photo is asked for; empty where none is."""
    if not missing_heights(outcome):
        return ""
    return (
        '<button type="button" class="bc-button" data-to-heights>'
        "Height is still missing: add a photo for it</button>"
    )


def _way(way: Way, outcome: Outcome, *, opened: bool) -> str:
    told = TOLD[way]
    steps = "".join(f"<li>{text(step)}</li>" for step in told.steps)
    return (
        f'<details class="bc-fold bc-way" name="bc-way" data-way="{way.value}"'
        f"{' open' if opened else ''}><summary><span>{text(told.title)}"
        f'<span class="bc-why">{text(told.needs)}</span></span></summary>'
        f"<p>{text(told.gives)}</p>{_drawing(way)}<ol>{steps}</ol>"
        f"{_first_views(outcome) if way is Way.PAIR else ''}{_buttons(told.title)}"
        '<p class="bc-sending" role="status"></p>'
        '<div role="alert"><ul class="bc-unsent"></ul></div></details>'
    )


def _drawing(way: Way) -> str:
    """Line drawing of where phone, weld, target and light stand."""
    folder = resources.files("beadcheck_page") / "assets"
    return (folder / f"way-{way.value}.svg").read_text(encoding="utf-8")


def _first_views(outcome: Outcome) -> str:
    """Photos from above of which one is photo 1: to be chosen, or to be seen."""
    usable = [
        photo
        for photo, record in zip(outcome.photos, outcome.result.photos, strict=True)
        if record.usable and outcome.from_above(photo)
    ]
    choices = "".join(
        f'<label><input type="radio" name="first-view" value="{photo.key}"'
        f"{'' if number else ' checked'}>{_thumbnail(photo)}</label>"
        for number, photo in enumerate(usable)
    )
    return f'<fieldset class="bc-which bc-first"><legend>Photo 1 is</legend>{choices}</fieldset>'


def _thumbnail(photo: StoredPhoto) -> str:
    return (
        f'<img src="/photos/{photo.key}/thumbnail.jpg" alt="" width="72" height="72" '
        f'loading="lazy"><span class="bc-photo-name">{text(photo.name)}</span>'
    )


def _buttons(title: str) -> str:
    of = f'<span class="bc-hidden">: {text(title)}</span>'
    return (
        '<div class="bc-arrivals">'
        '<label class="bc-button bc-big bc-take"><input type="file" class="bc-file" '
        f'accept="image/*" capture="environment"><span>Take this photo{of}</span></label>'
        '<label class="bc-button bc-big"><input type="file" class="bc-file" '
        f'accept="image/*,.heic,.heif" multiple><span>Choose this photo{of}</span></label></div>'
    )
