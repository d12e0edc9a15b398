"""One pass of a coupon file, and its photos."""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

from beadcheck.advice import CurrentRange, StatedBy
from beadcheck.coupon import (
    MOST_LAYERS,
    Polarity,
    Process,
    TimesAre,
    TorchMotion,
    Weave,
    WeldPass,
    run_name,
)
from beadcheck.coupon_file.cells import (
    ends_px,
    made_of,
    named_file,
    number_said,
    point_px,
    span,
)
from beadcheck.coupon_file.parts import PassPart, PhotoPart
from beadcheck.coupon_file.said import NUMBERS, PassSettings
from beadcheck.errors.coupon_file import KeyNeedsKeyError
from beadcheck.limits.cells import number, refuse_unknown, text, texts, word, yes
from beadcheck.photo import PhotoKind
from beadcheck.target.toml_table import TomlFile, TomlTable

RANGE_EXAMPLE: Final = "current_range_a = [90, 130]"
_PHOTO_KEYS: Final = (
    "file",
    "files",
    "kind",
    "step_mm",
    "step_at_px",
    "light_angle_deg",
    "along_px",
    "toes",
    "no_target",
    "clock_deg",
)
_PASS_KEYS: Final = (
    "name",
    "pass",
    "layer",
    "bead",
    "beads",
    "process",
    "polarity",
    "filler",
    "depth_mm",
    "signed",
    *NUMBERS,
    "peak_time",
    "background_time",
    "times_are",
    "motion",
    "weave",
    "overlap_percent",
    "current_range_a",
    "current_range_by",
    "photo",
)
_LONGEST_TIME: Final = 10_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoTables:
    """The tables ``[[pass.photo]]`` of all passes, which a file numbers through."""

    file: TomlFile
    before: int
    by_header: bool

    def of(self, table: TomlTable) -> tuple[TomlTable, ...]:
        """Those of one pass."""
        if "photo" not in table.values:
            return ()
        tables = table.tables("photo", "[[pass.photo]]")
        header = "pass.photo" if self.by_header else table.header
        return tuple(
            TomlTable(
                file=self.file,
                values=each.values,
                header=header,
                index=self.before + k if self.by_header else table.index,
                label=f"photo {self.before + k + 1}",
            )
            for k, each in enumerate(tables)
        )


def pass_part(table: TomlTable, photos: PhotoTables, folder: Path | None) -> PassPart:
    """Pass as its table says it.

    Raises
    ------
    InputFileError
    """
    refuse_unknown(table, _PASS_KEYS)
    weld_pass = word(table, "pass", WeldPass) if "pass" in table.values else None
    layer, bead = _place_in_joint(table, "layer"), _place_in_joint(table, "bead")
    name = text(table, "name") or run_name(weld_pass, layer, bead)
    if not name:
        name = table.text("pass", 'pass = "cap"')
    parts = tuple(_photo_part(each, folder) for each in photos.of(table))
    with made_of(table):
        return PassPart(
            name=name,
            weld_pass=weld_pass,
            layer=layer,
            bead=bead,
            beads=_place_in_joint(table, "beads"),
            process=word(table, "process", Process) if "process" in table.values else None,
            polarity=word(table, "polarity", Polarity) if "polarity" in table.values else None,
            filler=text(table, "filler") or None,
            settings=_settings(table),
            depth=number_said(table, "depth_mm"),
            signed=text(table, "signed") or None,
            photos=parts,
        )


def _place_in_joint(table: TomlTable, key: str) -> int | None:
    if key not in table.values:
        return None
    return table.whole_number(key, 1, MOST_LAYERS, example=f"{key} = 2")


def _settings(table: TomlTable) -> PassSettings:
    there = table.values
    return PassSettings(
        **{key: number_said(table, key) for key in NUMBERS},
        peak_time=number(table, "peak_time", 0.0, _LONGEST_TIME),
        background_time=number(table, "background_time", 0.0, _LONGEST_TIME),
        times_are=word(table, "times_are", TimesAre) if "times_are" in there else None,
        motion=word(table, "motion", TorchMotion) if "motion" in there else None,
        weave=word(table, "weave", Weave, Weave.NONE),
        overlap_percent=number(table, "overlap_percent", 0.0, 100.0),
        current_range=current_range(table),
    )


def current_range(table: TomlTable) -> CurrentRange | None:
    """Currents that the procedure or the electrode allows; None where the key is not there.

    Raises
    ------
    InputFileError, KeyNeedsKeyError
    """
    allowed = span(table, "current_range_a", RANGE_EXAMPLE)
    if allowed is None:
        if "current_range_by" in table.values:
            raise KeyNeedsKeyError("current_range_by", "current_range_a")
        return None
    stated_by = word(table, "current_range_by", StatedBy, StatedBy.PROCEDURE)
    return CurrentRange(lowest_a=allowed[0], highest_a=allowed[1], stated_by=stated_by)


def _photo_part(table: TomlTable, folder: Path | None) -> PhotoPart:
    refuse_unknown(table, _PHOTO_KEYS)
    kind = word(table, "kind", PhotoKind, PhotoKind.FACE)
    with made_of(table):
        return PhotoPart(
            files=_files(table, folder),
            kind=kind,
            step=number_said(table, "step_mm"),
            step_at_px=point_px(table, "step_at_px"),
            light_angle=number_said(table, "light_angle_deg"),
            along_px=ends_px(table, "along_px"),
            toes=named_file(table, "toes", folder, inside=True),
            without_target=yes(table, "no_target"),
            clock_deg=number(table, "clock_deg", 0.0, 360.0),
        )


def _files(table: TomlTable, folder: Path | None) -> tuple[str, ...]:
    if "files" not in table.values:
        table.text("file", 'file = "cap.jpg"')
        return tuple(filter(None, [named_file(table, "file", folder, inside=True)]))
    if "file" in table.values:
        raise table.refusal("file", "left out where files names several")
    written = texts(table, "files", 'files = ["a.jpg", "b.jpg"]')
    return tuple(
        filter(None, (named_file(table, "files", folder, each, inside=True) for each in written))
    )
