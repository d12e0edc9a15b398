"""From the form and the photos of a visit to the coupon file that stands for them."""

from dataclasses import dataclass, replace

from beadcheck.coupon import Shape, TimesAre
from beadcheck.coupon_file import (
    CouponFile,
    JointPart,
    NumberSaid,
    PassPart,
    PassSettings,
    PhotoPart,
)
from beadcheck.limits import LengthSystem
from beadcheck.photo import PhotoKind
from beadcheck.quantity import COVERAGE_FACTOR
from beadcheck.toes.hand_csv import hand_toes_csv
from beadcheck_page.arc_entries import is_pulsed
from beadcheck_page.entries import LONGEST_TEXT, BackgroundIn, Entries, length_mm, number, text
from beadcheck_page.orders import Order
from beadcheck_page.refusals import MissingEntryError
from beadcheck_page.take_requests import take_reference
from beadcheck_page.takes import PageTake, use_of
from beadcheck_page.understanding import Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedFile:
    """A file for a person to save: its name and its text."""

    name: str
    contents: str


def coupon_of_order(
    order: Order,
    entries: Entries,
    *,
    name: str,
    person: str | None,
    filler: str | None = None,
    toes_file: str | None = None,
) -> CouponFile:
    """Coupon file of what would be measured now; it names each photo as the page lists it.

    Parameters
    ----------
    entries
        The form that the order's settings were understood from.
    toes_file
        Name of the file of all toes that were placed by hand.

    Raises
    ------
    SettingError
        A photo's kind calls for something that was not entered, or an entry makes no sense.
    """
    if _opening_without_groove(order.settings):
        raise MissingEntryError(
            "The groove",
            "In a coupon file the allowed root opening stands with it: choose its form under "
            "“Coupon and pass”.",
        )
    from beadcheck.log.names import run_called  # noqa: PLC0415  # loads a database layer

    settings = order.settings
    depth = settings.coupon.depth
    part = PassPart(
        name=run_called(settings.coupon),
        weld_pass=settings.coupon.weld_pass,
        layer=settings.coupon.layer,
        bead=settings.coupon.bead,
        beads=settings.coupon.beads,
        process=settings.coupon.process,
        polarity=settings.coupon.polarity,
        filler=filler,
        settings=_settings(entries, settings),
        depth=None if depth is None else NumberSaid(value=depth.depth_mm),
        photos=tuple(_photo(take, order, toes_file) for take in order.takes),
    )
    return CouponFile(
        name=name,
        person=person,
        joint=replace(_joint(entries, settings), groove=settings.coupon.groove),
        limits=settings.limits,
        guard=settings.judging.rule,
        units=LengthSystem(settings.unit.value),
        print_scale_mm=settings.measured_bar_mm,
        use_camera=settings.calibrated,
        sectors=settings.sectors,
        passes=(part,),
    )


def filler_said(entered: object) -> str | None:
    """Filler as entered; None where nothing was."""
    said = entered[:LONGEST_TEXT].strip() if isinstance(entered, str) else ""
    return said or None


def toes_of_order(order: Order, *, beside: str) -> SavedFile | None:
    """Every toe that was placed by hand, for a file beside that coupon file; None without any."""
    placed = {
        photo.name: order.hand[photo.key] for photo in order.photos if photo.key in order.hand
    }
    if not placed:
        return None
    return SavedFile(
        name=f"{beside.removesuffix('.toml')}-toes.csv", contents=hand_toes_csv(placed)
    )


def _opening_without_groove(settings: Settings) -> bool:
    """Whether a root opening is allowed in a groove that nobody described."""
    return settings.coupon.root_gap_range_mm is not None and settings.coupon.groove is None


def _joint(entries: Entries, settings: Settings) -> JointPart:
    coupon = settings.coupon
    unit = settings.unit
    wall_mm = length_mm(entries.wall_thickness, "The wall thickness", unit)
    if coupon.shape is Shape.PLATE:
        return JointPart(
            shape=Shape.PLATE,
            wall_mm=wall_mm,
            groove_width_mm=coupon.groove_width_mm,
            position=coupon.position,
            progression=coupon.progression,
        )
    size = None
    if length_mm(entries.outside_diameter, "The outside diameter", unit) is None:
        schedule = text(entries.schedule, "the schedule")
        size = f"{entries.pipe_size}" + ("" if schedule is None else f" SCH {schedule}")
    return JointPart(
        shape=Shape.PIPE,
        pipe_size=size,
        outside_diameter_mm=coupon.outside_diameter_mm if size is None else None,
        wall_mm=wall_mm,
        bore_mm=coupon.bore_mm,
        groove_width_mm=coupon.groove_width_mm,
        position=coupon.position,
        progression=coupon.progression,
        strip_side=coupon.strip_side,
    )


def _settings(entries: Entries, settings: Settings) -> PassSettings:
    """Arc and run as they stand in the form; fields that do not show do not count."""
    volts = _said(entries.volts, "The arc voltage")
    run_mm = length_mm(entries.run_length, "The run length", settings.unit)
    run = PassSettings(
        run_length_mm=None if run_mm is None else NumberSaid(value=run_mm),
        arc_time_s=_said(entries.arc_time, "The arc time"),
        current_range=settings.allowed,
    )
    if not is_pulsed(entries):
        current = _said(entries.current, "The current")
        return replace(run, current_a=current, volts=volts)
    background = _said(entries.background_current, "The background current")
    in_percent = entries.background_in == BackgroundIn.PERCENT.value
    low_volts = _said(entries.background_volts, "The voltage on the background")
    return replace(
        run,
        peak_current_a=_said(entries.peak_current, "The peak current"),
        background_current_a=None if in_percent else background,
        background_percent=background if in_percent else None,
        volts=volts if low_volts is None else None,
        peak_volts=None if low_volts is None else volts,
        background_volts=low_volts,
        peak_time=number(entries.peak_s, "The peak time"),
        background_time=number(entries.background_s, "The background time"),
        times_are=_times_are(settings),
        motion=settings.arc.motion,
        weave=settings.arc.weave,
        overlap_percent=number(entries.wanted_overlap, "The wanted overlap"),
    )


def _times_are(settings: Settings) -> TimesAre | None:
    if settings.coupon.pulse is not None:
        return TimesAre.SECONDS
    panel = settings.coupon.panel_times
    return None if panel is None else panel.times_are


def _said(entered: object, what: str) -> NumberSaid | None:
    value = number(entered, what)
    return None if value is None else NumberSaid(value=value)


def _photo(take: PageTake, order: Order, toes_file: str | None) -> PhotoPart:
    first = take.photos[0]
    step, angle, place_px = take_reference(take, order)
    along = order.pointers.get(first.key)
    bare = order.settings.without_target or first.key in order.bare
    return PhotoPart(
        files=tuple(photo.name for photo in take.photos),
        kind=take.kind,
        step=None if step is None else NumberSaid(value=step.thickness_mm),
        step_at_px=None if step is None else place_px,
        light_angle=None
        if angle is None
        else NumberSaid(
            value=angle.angle_deg, expanded_uncertainty=COVERAGE_FACTOR * angle.u_angle_deg
        ),
        along_px=None if along is None else (along.start_px, along.end_px),
        toes=toes_file if first.key in order.hand else None,
        clock_deg=use_of(first, order.uses).clock_deg,
        without_target=bare and take.kind is PhotoKind.FACE,
    )
