"""Measuring a coupon file: pass after pass."""

import os
import re
from dataclasses import replace
from functools import partial
from pathlib import Path

from beadcheck.camera import CameraBook
from beadcheck.camera.store import camera_folder, read_book
from beadcheck.cli.keep import FromFile, Keeper, keeper
from beadcheck.cli.log_flags import Keeping
from beadcheck.cli.run import Showing, measured, show
from beadcheck.cli.streams import put, tell
from beadcheck.coupon_file import CouponOrder, PassOrder, coupon_order
from beadcheck.errors.command import ConflictingFlagsError, FlagNeedsFlagError
from beadcheck.limits import LengthSystem
from beadcheck.log.names import key_of, name_of
from beadcheck.pipeline import KnownTack, known_tacks
from beadcheck.result import Result, result_to_json
from beadcheck.sheet import SheetFacts


def coupon_file_measured(
    path: Path, showing: Showing, keeping: Keeping | None, *, no_camera: bool
) -> list[Result]:
    """Measure every pass of a coupon file that has photos, and show, write and save each.

    Raises
    ------
    InputFileError
        The file, or one that it names, is broken; nothing was measured.
    FlagNeedsFlagError, ConflictingFlagsError
        Nobody, or two people, are said to have welded what is to be saved.
    """
    order = coupon_order(path, CameraBook() if no_camera else read_book(camera_folder(os.environ)))
    coupon = order.filled.coupon
    person = "" if keeping is None else _person(keeping, coupon.person)
    if keeping is not None:
        name_of(person, "person")
        name_of(coupon.name, "coupon")
        for part in coupon.passes:
            name_of(part.name, "pass")
    for remark in order.filled.remarks:
        tell(remark)
    for name in order.without_photos:
        tell(f"Pass {name!r} has no photo, and is not measured.")
    showing = replace(showing, inch=coupon.units is LengthSystem.INCH)
    with keeper(keeping) as keep:
        results: list[Result] = []
        tacks: tuple[KnownTack, ...] = ()
        for each in order.passes:
            over = replace(
                each, requests=tuple(replace(request, tacks=tacks) for request in each.requests)
            )
            results.append(_pass_measured(order, over, showing, keep, person=person))
            # Tacks of a fit-up lie under every pass after it.
            tacks += known_tacks(results[-1])
    if showing.json:
        put(_json_list(results))
    return results


def _person(keeping: Keeping, in_file: str | None) -> str:
    typed = keeping.person
    if typed is None:
        if in_file is None:
            raise FlagNeedsFlagError("--save", "--person NAME, or a line person in the coupon file")
        return in_file
    if in_file is not None and key_of(typed) != key_of(in_file):
        why = f"the coupon file says {in_file}"
        raise ConflictingFlagsError(f"--person {typed}", "person in the coupon file", why)
    return typed


def _pass_measured(
    order: CouponOrder,
    each: PassOrder,
    showing: Showing,
    keep: Keeper | None,
    *,
    person: str,
) -> Result:
    coupon = order.filled.coupon
    file = FromFile(
        coupon=coupon.name, run=each.part.name, filler=each.part.filler, text=order.text
    )
    if showing.out is not None:
        showing = replace(showing, out=showing.out / _folder_name(order, each))
    if showing.sheet is not None:
        of_pass = showing.sheet.of_pass(_folder_name(order, each))
        facts = SheetFacts(
            coupon=f"{coupon.name}, {each.part.name}",
            welder=person or coupon.person or "",
            taken_on=of_pass.facts.taken_on,
        )
        since = (
            None
            if keep is None
            else partial(keep.since, unit=showing.unit, person=person, file=file)
        )
        showing = replace(showing, sheet=replace(of_pass, facts=facts, since=since))
    result = measured(each.requests, showing)
    if not showing.json:
        put(f"{coupon.name}, {each.part.name}")
        show(result, showing)
    if keep is not None:
        keep.keep(
            result,
            each.requests[0],
            each.photos,
            showing.unit,
            by_hand=any(photo.toes for photo in each.part.photos),
            person=person,
            file=file,
        )
    return result


def _folder_name(order: CouponOrder, each: PassOrder) -> str:
    """Name of a pass as any system takes it; its place goes before it where two would be alike."""
    names = [_plain(other.part.name) for other in order.passes]
    name = _plain(each.part.name)
    return name if names.count(name) == 1 else f"{order.passes.index(each) + 1}-{name}"


def _plain(name: str) -> str:
    return re.sub(r"[^\w-]+", "-", name).strip("-").casefold() or "pass"


def _json_list(results: list[Result]) -> str:
    """Every result, in a list whether there is one or several."""
    return "[\n" + ",\n".join(result_to_json(each).rstrip("\n") for each in results) + "\n]"
