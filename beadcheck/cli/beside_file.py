"""What may be typed beside a coupon file: only what concerns this run, and not the coupon."""

from pathlib import Path
from typing import Final

import typer

from beadcheck.errors.command import CouponFileAloneError

BESIDE_FILE: Final = (
    "photos",
    "out",
    "no_picture",
    "json",
    "strict",
    "no_camera",
    "sheet",
    "paper",
    "save",
    "person",
    "coupon_name",
    "measured_by",
    "log",
)


def refuse_flags_beside(context: typer.Context, coupon_file: Path) -> None:
    """Refuse what the coupon file itself should say.

    Raises
    ------
    CouponFileAloneError
    """
    for param in context.command.params:
        source = context.get_parameter_source(param.name or "")
        if source is not None and source.name == "COMMANDLINE" and param.name not in BESIDE_FILE:
            raise CouponFileAloneError(str(coupon_file), param.opts[0])
