"""The subcommand that draws the printable targets."""

import contextlib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final, Literal

import typer

from beadcheck.cli.failures import MEASURED
from beadcheck.cli.streams import put, tell
from beadcheck.errors.command import BadFlagValueError, ConflictingFlagsError, FlagNeedsFlagError
from beadcheck.errors.setting import (
    FileNotWritableError,
    FileThereAlreadyError,
    NeitherPdfNorPngError,
)

if TYPE_CHECKING:
    from beadcheck.target.design import TargetDesign
    from beadcheck.target.ink import Paper

EXAMPLES: Final = """Examples:

\b
  beadcheck target --paper a4
  beadcheck target --paper letter --pipe "NPS 8 SCH 60" --out strip.pdf
  beadcheck target --pipe "NPS 8 SCH 60" --inside --out bore-strip.pdf
"""
_THINNEST_MM: Final = 0.02
_THICKEST_MM: Final = 3.0


def target(
    *,
    paper: Annotated[
        Literal["a4", "letter"], typer.Option(help="Size of the sheet in the printer.")
    ] = "a4",
    strips: Annotated[
        bool, typer.Option("--strips", help="For plate: two strips in place of the window card.")
    ] = False,
    pipe: Annotated[
        str | None,
        typer.Option(metavar="SIZE", help='A strip round this pipe, as in "NPS 8 SCH 60".'),
    ] = None,
    outside_diameter: Annotated[
        float | None, typer.Option(metavar="MM", help="A strip round a pipe of this diameter.")
    ] = None,
    inside: Annotated[
        bool,
        typer.Option(
            "--inside",
            help="With --pipe and its schedule: a strip for the inside, to measure the root side.",
        ),
    ] = False,
    bore: Annotated[
        float | None,
        typer.Option(metavar="MM", help="A strip for the inside of a pipe of this bore."),
    ] = None,
    thickness: Annotated[
        float | None,
        typer.Option(metavar="MM", help="Thickness of the paper; plain paper has 0.1 mm."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Name of the .pdf or .png file; its .toml goes beside."),
    ] = None,
    force: Annotated[
        bool, typer.Option("--force", help="Overwrite files that are there already.")
    ] = False,
) -> int:
    """Draw a target to print: a card or two strips for plate, a strip to wrap round a pipe.

    Print it at 100 %. The target file (.toml) beside it says where each marker stands.
    """
    _refuse_conflicts(strips=strips, pipe=pipe, outside_diameter_mm=outside_diameter, bore_mm=bore)
    if inside and pipe is None:
        raise FlagNeedsFlagError("--inside", "--pipe; or else give --bore MM")
    if thickness is not None and not _THINNEST_MM <= thickness <= _THICKEST_MM:
        mend = f"Give millimetres between {_THINNEST_MM:g} and {_THICKEST_MM:g}."
        raise BadFlagValueError("--thickness", f"{thickness:g}", mend)

    # From here on OpenCV is needed, which help and wrong usage must not wait for.
    from beadcheck.target.ink import Paper

    inner_mm = _bore_mm(pipe) if inside and pipe is not None else bore
    if inner_mm is None:
        design, name = _design_and_name(
            strips=strips, pipe=pipe, outside_diameter_mm=outside_diameter, thickness_mm=thickness
        )
    else:
        design, name = _inside_of(inner_mm, thickness), f"bore-strip-{inner_mm:g}-mm"
    path = out or Path(f"beadcheck-{name}-{paper}.pdf")
    files = _drawn(design, Paper(paper), path)
    _write_all(files, force=force)
    for file in files:
        put(str(file))
    _tell_what_next(design, paper, path, pipe=pipe, own_thickness=thickness is not None)
    return MEASURED


def _refuse_conflicts(
    *, strips: bool, pipe: str | None, outside_diameter_mm: float | None, bore_mm: float | None
) -> None:
    if bore_mm is not None:
        others = {"--pipe": pipe, "--outside-diameter": outside_diameter_mm, "--strips": strips}
        for flag, given in others.items():
            if given:
                raise ConflictingFlagsError("--bore", flag, "the bore says it all")
    if pipe is not None and outside_diameter_mm is not None:
        raise ConflictingFlagsError("--pipe", "--outside-diameter", "the size names a diameter")
    if strips and (pipe is not None or outside_diameter_mm is not None):
        other = "--pipe" if pipe is not None else "--outside-diameter"
        raise ConflictingFlagsError("--strips", other, "the two strips are for plate")


def _design_and_name(
    *,
    strips: bool,
    pipe: str | None,
    outside_diameter_mm: float | None,
    thickness_mm: float | None,
) -> "tuple[TargetDesign, str]":
    """Design that the flags ask for, and what its file is called unless said."""
    from beadcheck.coupon.pipe_sizes import parse_pipe_size
    from beadcheck.target.catalogue import (
        PAPER_THICKNESS_MM,
        pipe_strip,
        plate_card,
        plate_strips,
    )

    thickness_mm = PAPER_THICKNESS_MM if thickness_mm is None else thickness_mm
    if pipe is not None:
        size = parse_pipe_size(pipe)
        design = pipe_strip(size.outside_diameter_mm, thickness_mm=thickness_mm)
        return design, f"pipe-strip-nps-{size.nps.replace('/', '-')}"
    if outside_diameter_mm is not None:
        design = pipe_strip(outside_diameter_mm, thickness_mm=thickness_mm)
        return design, f"pipe-strip-{outside_diameter_mm:g}-mm"
    if strips:
        return plate_strips(thickness_mm=thickness_mm), "plate-strips"
    return plate_card(thickness_mm=thickness_mm), "plate-card"


def _bore_mm(pipe: str) -> float:
    """Bore of a size with its schedule.

    Raises
    ------
    BoreUnknownError
        The schedule is not said.
    """
    from beadcheck.coupon import Coupon, Shape, WeldPass
    from beadcheck.coupon.pipe_sizes import parse_pipe_size

    size = parse_pipe_size(pipe)
    coupon = Coupon(
        shape=Shape.PIPE,
        outside_diameter_mm=size.outside_diameter_mm,
        wall_thickness_mm=size.wall_thickness_mm,
        weld_pass=WeldPass.ROOT_SIDE,
    )
    return round(coupon.strip_diameter_mm or 0.0, 3)


def _inside_of(bore_mm: float, thickness_mm: float | None) -> "TargetDesign":
    from beadcheck.target.catalogue import PAPER_THICKNESS_MM, bore_strip

    return bore_strip(
        bore_mm, thickness_mm=PAPER_THICKNESS_MM if thickness_mm is None else thickness_mm
    )


def _drawn(design: "TargetDesign", paper: "Paper", path: Path) -> dict[Path, bytes]:
    """Content of every file to write, by path: the drawing (PNG: a file a page), then its TOML."""
    from beadcheck.target.pages import draw_pdf, draw_png
    from beadcheck.target.write import target_toml

    match path.suffix.lower():
        case ".pdf":
            files = {path: draw_pdf(design, paper)}
        case ".png":
            drawn = draw_png(design, paper)
            numbered = [path.with_stem(f"{path.stem}-{k}") for k in range(1, len(drawn) + 1)]
            files = dict(zip(numbered if len(drawn) > 1 else [path], drawn, strict=True))
        case _:
            raise NeitherPdfNorPngError(path.name)
    files[path.with_suffix(".toml")] = target_toml(design).encode()
    return files


def _write_all(files: Mapping[Path, bytes], *, force: bool) -> None:
    """Write every file, or none where one is there already or cannot be written."""
    parts = {path: path.with_name(f".{path.name}.part") for path in files}
    path = next(iter(files))
    try:
        for path in files:
            if path.exists() and not force:
                raise FileThereAlreadyError(str(path))
        for path, content in files.items():
            parts[path].write_bytes(content)
        for path, part in parts.items():
            part.replace(path)
    except (OSError, ValueError) as error:  # ValueError: a name with a NUL byte
        why = (getattr(error, "strerror", None) or "the name is not possible").lower()
        raise FileNotWritableError(str(path), why) from error
    finally:
        for part in parts.values():
            with contextlib.suppress(OSError, ValueError):
                part.unlink(missing_ok=True)


def _tell_what_next(
    design: "TargetDesign", paper: str, path: Path, *, pipe: str | None, own_thickness: bool
) -> None:
    sheet = "A4" if paper == "a4" else "Letter"
    tell(
        f"Print it on {sheet} at 100 % (actual size), then check both bars with a steel rule: "
        "100 mm each."
    )
    named = f" --target {path.with_suffix('.toml')}" if own_thickness else ""
    tell(
        f"Then measure: beadcheck measure PHOTO{_coupon_flags(design, pipe)}{named} "
        "--print-scale MM (what a bar measures)"
    )
    tell("A practice aid: the final judgement is a qualified inspector's.")


def _coupon_flags(design: "TargetDesign", pipe: str | None) -> str:
    """Flags of `measure` for the coupon that a target was drawn for."""
    inside = "" if design.bore_mm is None else " --pass root-side"
    if pipe is not None:
        return f'{inside} --pipe "{pipe}"'
    if design.bore_mm is not None:
        return f"{inside} --outside-diameter MM --bore {design.bore_mm:g}"
    return (
        f" --outside-diameter {design.outside_diameter_mm:g}" if design.outside_diameter_mm else ""
    )
