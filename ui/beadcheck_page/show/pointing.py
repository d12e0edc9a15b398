"""The picture on which a person points at the weld."""

from beadcheck_page.intake import StoredPhoto
from beadcheck_page.show.markup import text

HANDLES = (("start", "First end of the weld"), ("end", "Other end of the weld"))


def pointing_picture(photo: StoredPhoto | None) -> str:
    """Markup of the picture with its two handles, in units of its own width and height."""
    if photo is None:
        return ""
    handles = "".join(
        f'<button type="button" class="bc-handle" data-end="{end}" hidden>'
        f'<span class="bc-hidden">{label}. Move it with the arrow keys.</span></button>'
        for end, label in HANDLES
    )
    name = text(photo.name)
    return (
        f'<div class="bc-point" data-photo="{photo.key}">'
        f'<img src="/photos/{photo.key}/preview.jpg" width="{photo.width_px}" '
        f'height="{photo.height_px}" alt="Your photo {name}, to tap on" draggable="false">'
        '<svg viewBox="0 0 100 100" preserveAspectRatio="none" aria-hidden="true">'
        '<line class="bc-point-line" x1="0" y1="0" x2="0" y2="0" hidden></line></svg>'
        f"{handles}</div>"
        '<button type="button" class="bc-small" data-place>Place both ends by keyboard</button>'
    )
