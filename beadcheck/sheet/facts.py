"""What a sheet says beside the result: whose coupon, who took the photos, when, which pictures."""

from dataclasses import dataclass

from beadcheck.report.whole.cut import WeldCut
from beadcheck.sheet.weld_strip import WeldStrip


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFacts:
    """What nobody can see in a photo; "" leaves a line to fill in by hand.

    Attributes
    ----------
    since
        Sentences on what changed since the welder's last run, the first of which names it.
    """

    coupon: str = ""
    welder: str = ""
    taken_by: str = ""
    taken_on: str = ""
    since: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SheetPhoto:
    """One photo as the sheet shows it.

    Attributes
    ----------
    index
        Into the result's photos.
    overview_jpeg
        The photo with its marks, upright, without any metadata.
    strip
        The weld laid straight; None where the photo shows no run of it to scale.
    cut
        Its pixels of the weld, for a weld from several photos; None where it cannot be part of one.
    """

    index: int
    overview_jpeg: bytes
    strip: WeldStrip | None
    cut: WeldCut | None = None
