"""The photos that are here, each with a way to take it out."""

from collections.abc import Mapping, Sequence

from beadcheck_page.intake import StoredPhoto
from beadcheck_page.lookout import Look
from beadcheck_page.show.looks import look
from beadcheck_page.show.markup import text


def photo_list(photos: Sequence[StoredPhoto], looks: Mapping[str, Look]) -> str:
    """Markup of the list of photos with what was seen in them; empty where there is none."""
    if not photos:
        return ""
    rows = "".join(_row(photo, looks[photo.key]) for photo in photos)
    return f'<ul class="bc-photos" aria-label="Photos to measure">{rows}</ul>'


def _row(photo: StoredPhoto, seen: Look) -> str:
    name = text(photo.name)
    return (
        f'<li><img src="/photos/{photo.key}/thumbnail.jpg" alt="" width="72" height="72">'
        f'<span class="bc-photo-name">{name}</span>'
        f'<button type="button" class="bc-small" data-remove="{photo.key}" '
        f'aria-label="Remove {name}">Remove</button>{look(seen)}</li>'
    )
