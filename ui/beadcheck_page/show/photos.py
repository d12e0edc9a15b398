"""The photos that are here, each with what is asked about it and a way to take it out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beadcheck.photo import PhotoKind
from beadcheck.report.wording import LengthUnit
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.lookout import Look
from beadcheck_page.show.looks import look
from beadcheck_page.show.markup import text
from beadcheck_page.show.uses import use_fields
from beadcheck_page.takes import face_of, use_of
from beadcheck_page.uses import Use


@dataclass(frozen=True, slots=True, kw_only=True)
class Tray:
    """The photos of a visit, with what is known of each by its key."""

    photos: Sequence[StoredPhoto]
    uses: Mapping[str, Use]
    looks: Mapping[str, Look]
    unit: LengthUnit
    on_pipe: bool
    calibrated: bool

    @property
    def further(self) -> tuple[StoredPhoto, ...]:
        """Photos that were taken for their height."""
        return tuple(
            photo for photo in self.photos if use_of(photo, self.uses).kind is not PhotoKind.FACE
        )

    @property
    def any_calibration(self) -> bool:
        """Whether a camera is known of which a calibration is stored."""
        return any(photo.calibration is not None for photo in self.photos)


def photo_list(tray: Tray) -> str:
    """Markup of the list of photos with what was seen in them; empty where there is none."""
    return _list(tray, tray.photos, "Photos to measure", "tray")


def further_photos(tray: Tray) -> str:
    """Markup of the photos that were taken for their height; empty where there is none."""
    return _list(tray, tray.further, "Photos for the height", "further")


def _list(tray: Tray, photos: Sequence[StoredPhoto], label: str, scope: str) -> str:
    if not photos:
        return ""
    rows = "".join(_row(tray, photo, scope) for photo in photos)
    return f'<ul class="bc-photos" aria-label="{label}">{rows}</ul>'


def _row(tray: Tray, photo: StoredPhoto, scope: str) -> str:
    name, use = text(photo.name), use_of(photo, tray.uses)
    others = [other for other in tray.photos if other.key != photo.key]
    faces = [face for face in others if use_of(face, tray.uses).kind is PhotoKind.FACE]
    asked = use_fields(
        photo,
        use,
        faces=tuple(faces),
        first_view=face_of(photo, others, tray.uses),
        unit=tray.unit,
        on_pipe=tray.on_pipe,
        scope=scope,
    )
    return (
        f'<li><img src="/photos/{photo.key}/thumbnail.jpg" alt="" width="72" height="72">'
        f'<span class="bc-photo-name">{name}</span>'
        f'<button type="button" class="bc-small" data-remove="{photo.key}" '
        f'aria-label="Remove {name}">Remove</button>{asked}{_calibration(tray, photo)}'
        f"{look(tray.looks[photo.key])}</li>"
    )


def _calibration(tray: Tray, photo: StoredPhoto) -> str:
    """Which stored calibration the photo is measured with; empty where there is none."""
    if photo.calibration is None:
        return ""
    camera, on = text(photo.calibration.name), photo.calibration.calibrated_on
    used = "is used" if tray.calibrated else "is switched off"
    return (
        '<p class="bc-calibration">The calibration of this camera '
        f"({camera}) from {on.day} {on:%B %Y} {used}.</p>"
    )
