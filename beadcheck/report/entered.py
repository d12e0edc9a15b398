"""The words of what was entered, and of how a photo was taken."""

from typing import Final

from beadcheck.coupon import DepthBy, Shape, TimesAre, WeldPass
from beadcheck.photo import PhotoKind
from beadcheck.report.wording import LengthUnit
from beadcheck.result import (
    CouponRecord,
    PassDepthRecord,
    PhotoRecord,
    SettingsRecord,
    StatedRecord,
)
from beadcheck.units import MM_PER_INCH

PASS_WORDS: Final[dict[str, str]] = {
    WeldPass.FIT_UP: "fit-up, not welded yet",
    WeldPass.ROOT: "root pass, from the face side",
    WeldPass.ROOT_SIDE: "root, from the root side",
    WeldPass.SECOND: "second pass",
    WeldPass.FILL: "fill pass",
    WeldPass.CAP: "cap pass",
}
DEPTH_BY: Final = {
    DepthBy.ENTERED: "as entered",
    DepthBy.PROFILE: "by a profile",
    DepthBy.GROOVE: "by the groove's walls and the width",
    DepthBy.WALL: "as usual in such a wall",
    DepthBy.NOTHING: "a guess",
}
WITHOUT_TARGET: Final = "without a target: pixels and percent only"


def coupon_words(coupon: CouponRecord, show: LengthUnit, *, without_target: bool = False) -> str:
    """The coupon and the pass, as entered, in one line.

    Without a target nothing depends on the shape, so nobody need have said it: then a plate, which
    is what is taken where nothing is said, is not named.
    """
    words = [] if without_target and coupon.shape == Shape.PLATE else [coupon.shape]
    if coupon.outside_diameter_mm is not None:
        words.append(f"outside diameter {_size_words(coupon.outside_diameter_mm, show)}")
    if coupon.wall_thickness_mm is not None:
        words.append(f"thickness {_size_words(coupon.wall_thickness_mm, show)}")
    if coupon.bore_mm is not None:
        words.append(f"bore {_size_words(coupon.bore_mm, show)}")
    if coupon.process is not None:
        words.append(_process_words(coupon.process))
    if coupon.polarity is not None:
        words.append(coupon.polarity.upper())
    if coupon.position is not None:
        words.append(coupon.position)
    if coupon.progression is not None:
        words.append(f"vertical {coupon.progression}")
    if coupon.strip_side is not None:
        words.append(f"strip on the {coupon.strip_side} side")
    if coupon.weld_pass is not None:
        words.append(PASS_WORDS[coupon.weld_pass])
    counts = (("layer", coupon.layer), ("bead", coupon.bead))
    words += [f"{what} {count}" for what, count in counts if count is not None]
    if coupon.beads is not None:
        words.append(f"{coupon.beads} beads side by side" if coupon.beads > 1 else "one bead")
    if coupon.groove_width_mm is not None:
        words.append(f"groove {_size_words(coupon.groove_width_mm, show)} wide")
    return ", ".join(words)


def _process_words(process: str) -> str:
    """Process as the trade writes it.

    Examples
    --------
    >>> _process_words("gtaw-pulsed"), _process_words("smaw")
    ('pulsed GTAW', 'SMAW')
    """
    name, _, kind = process.partition("-")
    return f"{kind} {name.upper()}".strip()


def photo_words(photo: PhotoRecord, show: LengthUnit) -> str:
    """How the photo was taken, as far as it was solved, in one line."""
    words = [_kind_words(photo)]
    if photo.without_target:
        words[0] += f" {WITHOUT_TARGET}"
    if photo.clock_deg is not None:
        words.append(f"of {photo.clock_deg:g}° from 12 o'clock as entered")
    if photo.px_per_mm is not None:
        words.append(f"{photo.px_per_mm:.1f} px per mm")
    if photo.distance_mm is not None:
        words.append(f"from {_size_words(round(photo.distance_mm), show)}")
    if photo.tilt_deg is not None:
        words.append(f"{photo.tilt_deg:.0f}° off square")
    if photo.camera is not None:
        words.append(f"by the calibrated camera “{photo.camera}”")
    if photo.pass_depth is not None:
        words.append(_depth_words(photo.pass_depth, show))
    return ", ".join(words)


def _kind_words(photo: PhotoRecord) -> str:
    if photo.bore_mm is not None:
        return "photo through the open end"
    return "photo from above" if photo.kind == PhotoKind.FACE else f"{photo.kind} photo"


def _depth_words(depth: PassDepthRecord, show: LengthUnit) -> str:
    below = f"{depth.depth_mm:.1f} ± {depth.U_mm:.1f} mm"
    if show is LengthUnit.INCH:
        inches = (f"{length_mm / MM_PER_INCH:.2f}" for length_mm in (depth.depth_mm, depth.U_mm))
        below += f" ({' ± '.join(inches)} in)"
    return f"the pass {below} below the surface ({DEPTH_BY[DepthBy(depth.by)]})"


def settings_words(settings: SettingsRecord | None, coupon: CouponRecord, show: LengthUnit) -> str:
    """Arc and run, as entered, in one line; empty where nothing was."""
    words = []
    if coupon.peak_time_s is not None and coupon.background_time_s is not None:
        words.append(f"peak {coupon.peak_time_s:g} s, background {coupon.background_time_s:g} s")
    if settings is None:
        return ", ".join(words)
    return ", ".join([*_current_words(settings), *words, *_run_words(settings, show)])


def _current_words(settings: SettingsRecord) -> list[str]:
    words = []
    low = settings.background_percent or settings.background_current
    if settings.peak_current is not None and low is not None:
        words.append(f"{_amount(settings.peak_current)} on the peak, {_amount(low)} below")
    stated = (settings.current, settings.volts, settings.power, settings.energy)
    words += [_amount(each) for each in stated if each is not None]
    if settings.current_range_a is not None:
        low_a, high_a = settings.current_range_a
        words.append(f"{settings.current_range_by} allows {low_a:g} to {high_a:g} A")
    return words


def _run_words(settings: SettingsRecord, show: LengthUnit) -> list[str]:
    words = []
    if settings.panel_times is not None:
        peak, background = settings.panel_times
        is_dial = settings.times_are == TimesAre.DIAL_MARKS
        what = "marks of a dial" if is_dial else "not known to be seconds"
        words.append(f"peak {peak:g}, background {background:g} ({what})")
    if settings.motion is not None:
        words.append(f"torch {settings.motion}")
    if settings.weave is not None:
        words.append(f"weave {settings.weave}")
    if settings.wanted_overlap is not None:
        words.append(f"{100.0 * settings.wanted_overlap:g} % overlap wanted")
    if settings.run_length is not None:
        words.append(f"run of {_size_words(settings.run_length.value, show)}")
    if settings.arc_time is not None:
        words.append(f"in {_amount(settings.arc_time)}")
    return words


def _amount(stated: StatedRecord) -> str:
    return f"{stated.value:g} {stated.unit}"


def _size_words(size_mm: float, show: LengthUnit) -> str:
    words = f"{size_mm:g} mm"
    return words if show is LengthUnit.MM else f"{words} ({size_mm / MM_PER_INCH:.3g} in)"
