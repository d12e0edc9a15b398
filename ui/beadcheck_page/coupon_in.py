"""From a coupon file or a procedure card to the form that it fills in."""

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from beadcheck.advice import CurrentRange
from beadcheck.coupon import Shape
from beadcheck.coupon.pipe_sizes import parse_pipe_size
from beadcheck.coupon_file import (
    CouponFile,
    JointPart,
    NumberSaid,
    PassAsked,
    PassPart,
    PassSettings,
    ProcedureCard,
    read_coupon_alone,
    read_procedure_alone,
)
from beadcheck.errors.coupon_file import CardForCouponError
from beadcheck.photo import PhotoKind
from beadcheck.report.wording import LengthUnit
from beadcheck.units import inches
from beadcheck_page.coupon_notes import card_notes, coupon_notes
from beadcheck_page.entries import UNSAID, BackgroundIn, Entries
from beadcheck_page.field_kinds import LENGTH_LABELS
from beadcheck_page.form_so_far import converted, entered_unit
from beadcheck_page.groove_entries import filled_groove
from beadcheck_page.intake import safe_name
from beadcheck_page.limit_choices import LimitChoices
from beadcheck_page.sizes import size_choices

Written = CouponFile | ProcedureCard
Changes = dict[str, Any]
"""Entries of the form by their names."""

_MM_DIGITS: Final = 3
_INCH_DIGITS: Final = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledIn:
    """The form as a file fills it in.

    Attributes
    ----------
    name, person
        What the coupon is called, and who welds it; None where the file is a card.
    passes
        Names of the passes of the file.
    chosen
        The one that fills the form; None where there is none.
    filler
        Of that pass, which stands outside the form.
    said
        Sentences on what came of it, and on what has no place in the form.
    """

    entries: Entries
    title: str
    name: str | None
    person: str | None
    passes: tuple[str, ...]
    chosen: str | None
    filler: str | None
    said: tuple[str, ...]


def written_file(name: str, contents: str) -> Written:
    """Coupon or card of a file's text.

    Raises
    ------
    InputFileError
        The file is broken: the message names file, line, key and mend.
    """
    with tempfile.TemporaryDirectory(prefix="beadcheck-coupon-") as folder:
        path = Path(folder) / safe_name(name, taken=())
        path.write_text(contents, encoding="utf-8", newline="")
        try:
            return read_coupon_alone(path)
        except CardForCouponError:
            return read_procedure_alone(path)


def filled_by(
    written: Written, wanted: str | None, entries: Entries, limits: LimitChoices
) -> FilledIn:
    """Fill the form in with one pass of a file.

    A coupon file stands for the whole form: what it leaves open is left open. A card says what is
    asked for, and what it leaves open stays as it was entered.

    Parameters
    ----------
    wanted
        Name of the pass; None for the one that the form is about, where a card has it. Else the
        first one.
    """
    parts: tuple[PassPart | PassAsked, ...] = written.passes
    if wanted is None and isinstance(written, ProcedureCard):
        alike = (each.name for each in parts if each.weld_pass == entries.weld_pass)
        wanted = next(alike, None)
    part = next((each for each in parts if each.name == wanted), next(iter(parts), None))
    unit = entered_unit(entries) if written.units is None else LengthUnit(written.units.value)
    changes: Changes = {
        "unit": unit.value,
        **_joint(written.joint, unit),
        **_limits(written, limits),
    }
    if written.guard is not None:
        changes["guard"] = written.guard.value
    if part is not None:
        changes |= _said(
            {"weld_pass": part.weld_pass, "process": part.process, "polarity": part.polarity}
        )
    if isinstance(written, CouponFile):
        base = Entries()
        welded = part if isinstance(part, PassPart) else None
        changes |= _of_coupon(written, welded, unit)
        said = coupon_notes(written, welded)
    else:
        base = _in_unit(entries, unit)
        asked = part if isinstance(part, PassAsked) else None
        changes |= {} if asked is None else _range(asked.current_range)
        said = card_notes(asked)
    if written.limits is not None and limits.of_coupon_file(written.limits) is None:
        said.append(
            f"Its limits are a file of their own, {written.limits}, which this page does not have: "
            "choose a limit set"
        )
    return FilledIn(
        entries=replace(base, **changes),
        title=written.name if isinstance(written, CouponFile) else written.title,
        name=written.name if isinstance(written, CouponFile) else None,
        person=written.person if isinstance(written, CouponFile) else None,
        passes=tuple(each.name for each in written.passes),
        chosen=None if part is None else part.name,
        filler=None if part is None else part.filler,
        said=tuple(said),
    )


def _said(words: Mapping[str, Any]) -> Changes:
    """Choices that were made, as the form holds them; what was left open is left out."""
    return {name: word.value for name, word in words.items() if word is not None}


def _joint(joint: JointPart, unit: LengthUnit) -> Changes:
    changes = _said(
        {
            "position": joint.position,
            "progression": joint.progression,
            "strip_side": joint.strip_side,
        }
    )
    if joint.shape is Shape.PLATE:
        changes["shape"] = Shape.PLATE.value
    if joint.shape is Shape.PIPE or joint.is_pipe:
        changes["shape"] = Shape.PIPE.value
    if joint.is_pipe:
        changes |= _pipe(joint, unit)
    changes |= {} if joint.bore_mm is None else {"bore": _shown(joint.bore_mm, unit)}
    if joint.groove is not None:
        changes |= filled_groove(joint.groove)
    if joint.groove is not None and joint.groove.root_gap_range_mm is not None:
        least_mm, most_mm = joint.groove.root_gap_range_mm
        changes["least_root_gap"] = _shown(least_mm, unit)
        changes["most_root_gap"] = _shown(most_mm, unit)
    if joint.groove_width_mm is not None:
        changes["groove_width"] = _shown(joint.groove_width_mm, unit)
    if joint.wall_mm is not None:
        changes["wall_thickness"] = _shown(joint.wall_mm, unit)
    return changes


def _pipe(joint: JointPart, unit: LengthUnit) -> Changes:
    """Size from the list where it is there, else the diameter."""
    if joint.pipe_size is None:
        diameter = _shown(joint.outside_diameter_mm, unit)
        return {"pipe_size": UNSAID, "schedule": UNSAID, "outside_diameter": diameter}
    size = parse_pipe_size(joint.pipe_size)
    nominal = f"NPS {size.nps}"
    if nominal not in {sent for _, sent in size_choices()}:
        diameter = _shown(size.outside_diameter_mm, unit)
        return {
            "pipe_size": UNSAID,
            "schedule": UNSAID,
            "outside_diameter": diameter,
            "wall_thickness": _shown(size.wall_thickness_mm, unit),
        }
    return {
        "pipe_size": nominal,
        "schedule": size.schedule or UNSAID,
        "outside_diameter": None,
        "wall_thickness": None,
    }


def _limits(written: Written, limits: LimitChoices) -> Changes:
    wanted = limits.of_coupon_file(written.limits)
    for family, choices in limits.by_family.items():
        if wanted in {name for _, name in choices}:
            return {"limits_of": family, "limits": wanted}
    return {}


def _of_coupon(coupon: CouponFile, part: PassPart | None, unit: LengthUnit) -> Changes:
    changes: Changes = {
        "check_bar": _shown(coupon.print_scale_mm, unit),
        "calibrated": coupon.use_camera,
        "sectors": coupon.sectors,
    }
    if part is None:
        return changes
    faces = [photo for photo in part.photos if photo.kind is PhotoKind.FACE]
    changes |= {"layer": part.layer, "bead": part.bead, "beads": part.beads}
    changes["no_target"] = bool(faces) and all(photo.without_target for photo in faces)
    changes["pass_depth"] = _shown(_value(part.depth), unit)
    return {**changes, **_settings(part.settings, unit)}


def _settings(said: PassSettings, unit: LengthUnit) -> Changes:
    background = said.background_current_a or said.background_percent
    # The length of a run whose energy was counted has no time, and no place in the form.
    run = None if said.arc_time_s is None else said.run_length_mm
    changes: Changes = {
        "current": _value(said.current_a),
        "peak_current": _value(said.peak_current_a),
        "background_current": _value(background),
        "background_in": BackgroundIn.AMPERE.value
        if said.background_percent is None
        else BackgroundIn.PERCENT.value,
        "volts": _value(said.volts or said.peak_volts),
        "background_volts": _value(said.background_volts),
        "peak_s": said.peak_time,
        "background_s": said.background_time,
        "weave": said.weave.value,
        "wanted_overlap": said.overlap_percent,
        "run_length": _shown(_value(run), unit),
        "arc_time": _value(said.arc_time_s),
        **_range(said.current_range),
    }
    return {**changes, **_said({"times_are": said.times_are, "motion": said.motion})}


def _range(allowed: CurrentRange | None) -> Changes:
    if allowed is None:
        return {}
    return {
        "lowest_current": allowed.lowest_a,
        "highest_current": allowed.highest_a,
        "allowed_by": allowed.stated_by.value,
    }


def _value(said: NumberSaid | None) -> float | None:
    return None if said is None else said.value


def _shown(length_mm: float | None, unit: LengthUnit) -> float | None:
    """Length in the unit of the form, as finely as the form converts."""
    if length_mm is None:
        return None
    if unit is LengthUnit.INCH:
        return round(inches(length_mm), _INCH_DIGITS)
    return round(length_mm, _MM_DIGITS)


def _in_unit(entries: Entries, unit: LengthUnit) -> Entries:
    """Entries whose lengths are in this unit."""
    if entered_unit(entries) is unit:
        return entries
    lengths = {name: converted(getattr(entries, name), unit) for name in LENGTH_LABELS}
    return replace(entries, **lengths)
