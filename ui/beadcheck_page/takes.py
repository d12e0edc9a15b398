"""Which photos are measured together, from what each photo is for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from beadcheck.photo import PhotoKind
from beadcheck_page.intake import StoredPhoto
from beadcheck_page.photo_refusals import LoneSecondViewError
from beadcheck_page.uses import FACE, Use


@dataclass(frozen=True, slots=True, kw_only=True)
class PageTake:
    """Photos that are measured together; a pair begins with the photo from above."""

    kind: PhotoKind
    photos: tuple[StoredPhoto, ...]


def page_takes(photos: Sequence[StoredPhoto], uses: Mapping[str, Use]) -> tuple[PageTake, ...]:
    """Takes in the order of the photos; a second view goes with the photo that it belongs to.

    Raises
    ------
    LoneSecondViewError
        There is no other photo that a second view could belong to.
    """
    faces = [photo for photo in photos if use_of(photo, uses).kind is PhotoKind.FACE]
    views: dict[str, list[StoredPhoto]] = {}
    homeless: list[StoredPhoto] = []
    for photo in photos:
        if use_of(photo, uses).kind is PhotoKind.PAIR:
            home = face_of(photo, photos, uses)
            (homeless if home is None else views.setdefault(home.key, [])).append(photo)
    if len(homeless) == 1:
        raise LoneSecondViewError(homeless[0].name)
    takes = []
    for photo in faces:
        together = (photo, *views.get(photo.key, ()))
        kind = PhotoKind.PAIR if len(together) > 1 else PhotoKind.FACE
        takes.append(PageTake(kind=kind, photos=together))
    if homeless:
        takes.append(PageTake(kind=PhotoKind.PAIR, photos=tuple(homeless)))
    for photo in photos:
        kind = use_of(photo, uses).kind
        if kind in {PhotoKind.SIDE_ON, PhotoKind.LIGHT_LINE}:
            takes.append(PageTake(kind=kind, photos=(photo,)))
    return tuple(takes)


def face_of(
    view: StoredPhoto, photos: Sequence[StoredPhoto], uses: Mapping[str, Use]
) -> StoredPhoto | None:
    """Return the photo from above that a second view belongs to: the one said, else the first."""
    faces = [photo for photo in photos if use_of(photo, uses).kind is PhotoKind.FACE]
    said = [photo for photo in faces if photo.key == use_of(view, uses).joined_to]
    return next(iter([*said, *faces]), None)


def use_of(photo: StoredPhoto, uses: Mapping[str, Use]) -> Use:
    """Return what a photo is for: to be measured from above, where nothing was said."""
    return uses.get(photo.key, FACE)
