"""Which photos a record of the result stands for."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, Protocol, Self


@dataclass(frozen=True, slots=True, kw_only=True)
class Whose:
    """One photo, several photos together, or the coupon as several photos show it.

    Attributes
    ----------
    photo
        Index into the result's photos; None where several were used.
    photos
        The several, else empty.
    """

    scope: Literal["photo", "coupon"] = "photo"
    photo: int | None = None
    photos: tuple[int, ...] = ()

    @classmethod
    def one(cls, photo: int) -> Self:
        """Stand for one photo alone."""
        return cls(photo=photo)

    @classmethod
    def together(cls, photos: Iterable[int]) -> Self:
        """Stand for photos that are measured together, such as a pair."""
        return cls(photos=tuple(photos))

    @classmethod
    def coupon(cls, photos: Iterable[int]) -> Self:
        """Stand for the coupon, as these photos show it."""
        return cls(scope="coupon", photos=tuple(photos))


class OfPhotos(Protocol):
    """A record that says which photos it comes from."""

    @property
    def photo(self) -> int | None:
        """Index into photos; None where several were used."""

    @property
    def photos(self) -> tuple[int, ...]:
        """Indices into photos where several were used."""


def concerns(record: OfPhotos, photo: int) -> bool:
    """Tell whether a record was measured in this photo, alone or with others.

    What stands for the whole coupon belongs to no single photo.
    """
    if getattr(record, "scope", "photo") == "coupon":
        return False
    return record.photo == photo or photo in record.photos
