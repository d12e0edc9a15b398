"""A face photo without a target: everything that needs no scale, in pixels and as ratios."""

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from typing import Final

import numpy as np

from beadcheck.errors.bead import (
    NoWeldFoundError,
    NoWeldInPictureError,
    WeldShortInPictureError,
    WeldTooShortError,
)
from beadcheck.measurements.evenness import WINDOW_MM
from beadcheck.measurements.ripples import Ripples
from beadcheck.measurements.slant import overlap_effect, trend_effect
from beadcheck.measurements.width import width_effects
from beadcheck.photo import Photo
from beadcheck.pipeline.hand_weld import weld_with_hand_toes
from beadcheck.pipeline.request import Request
from beadcheck.quantity import (
    NotMeasured,
    Quantity,
    QuantityName,
    Statistic,
)
from beadcheck.surface.unscaled import UNIT_WIDTHS, UnscaledSurface
from beadcheck.toes import (
    FollowedWeld,
    HandToes,
    Toes,
    follow_by_hand,
    follow_weld,
    stations,
)
from beadcheck.toes.hand_locate import picture_along
from beadcheck.toes.in_picture import (
    PicturedWeld,
    better_pictured,
    weld_in_picture,
    weld_in_picture_along,
)
from beadcheck.toes.joined import joined_toes
from beadcheck.toes.picture_likelihood import picture_likelihood
from beadcheck.units import Unit

WITH_A_TARGET: Final = "Lay the printed target beside the weld and take the photo again."
NO_LINE: Final = NotMeasured(
    name=QuantityName.CENTRELINE_DEVIATION,
    reason="Without a target nothing tells a bent weld from a bent surface or a slanted view.",
    how_to=WITH_A_TARGET,
)
NO_SPEED: Final = tuple(
    NotMeasured(
        name=name,
        reason="Without a target there is no scale, and so no speed.",
        how_to=WITH_A_TARGET,
    )
    for name in (QuantityName.TRAVEL_SPEED, QuantityName.ARC_ENERGY, QuantityName.HEAT_INPUT)
)
"""Travel by ripples, and what hangs on it."""


def follow_without_target(photo: Photo, request: Request) -> tuple[UnscaledSurface, FollowedWeld]:
    """Find the weld anywhere in the picture and follow its toes along its own line.

    Raises
    ------
    BeadError
        There is no weld, or too little of it.
    """
    along = request.along
    pictured = (
        weld_in_picture(photo)
        if along is None
        else weld_in_picture_along(photo, np.array([along.start_px, along.end_px]))
    )
    followed = _followed(photo, pictured)
    better = better_pictured(photo, pictured, followed)
    if better is None:
        return pictured.surface, followed
    return better.surface, _followed(photo, better)


def _followed(photo: Photo, pictured: PicturedWeld) -> FollowedWeld:
    surface = pictured.surface
    seen = picture_likelihood(photo, pictured.weld.width_mm * surface.px_per_unit)
    followed = follow_weld(photo, surface, pictured.weld, partial(seen.along, surface))
    return joined_toes(followed)


def toes_without_target(
    photo: Photo, request: Request, hand: HandToes | None
) -> tuple[UnscaledSurface, FollowedWeld, Toes]:
    """Find the weld and its toes; those that a person placed come before the finder's.

    Raises
    ------
    BeadError
        There is no weld, or too little of it.
    """

    def find() -> tuple[UnscaledSurface, FollowedWeld]:
        return follow_without_target(photo, request)

    def by_hand() -> tuple[UnscaledSurface, FollowedWeld]:
        surface = picture_along(placed)
        return surface, follow_by_hand(photo, surface, placed)

    if hand is None:
        surface, followed = find()
        return surface, followed, stations_without_target(followed, surface)
    placed = hand
    return weld_with_hand_toes(hand, find=find, by_hand=by_hand, place=stations_without_target)


def stations_without_target(followed: FollowedWeld, surface: UnscaledSurface) -> Toes:
    """Stations an eighth of the weld width apart.

    Raises
    ------
    BeadError
        Too little steady weld is in view, or none.
    """
    try:
        return stations(followed, surface)
    except WeldTooShortError as refusal:
        raise WeldShortInPictureError(refusal.length_mm / UNIT_WIDTHS) from refusal
    except NoWeldFoundError as refusal:
        raise NoWeldInPictureError from refusal


def without_scale(
    measured: Iterable[Quantity | NotMeasured],
    toes: Toes,
    ripples: Ripples | NotMeasured,
    surface: UnscaledSurface,
) -> list[Quantity | NotMeasured]:
    """Quantities in pixels, and spreads and extremes as shares of the mean too.

    Shares are of the mean ripple spacing for ripples, of the mean weld width for all else. What
    needs a scale is not measured.
    """
    kept: list[Quantity | NotMeasured] = []
    no_speed = {missing.name: missing for missing in NO_SPEED}
    found = list(measured)
    means = {
        each.name: each.value
        for each in found
        if isinstance(each, Quantity) and each.statistic is Statistic.MEAN
    }
    for each in found:
        if each.name is QuantityName.CENTRELINE_DEVIATION:
            kept.append(NO_LINE)
        elif each.name in no_speed:
            kept.append(no_speed[each.name])
        elif isinstance(each, NotMeasured):
            kept.append(_told_in_widths(each))
        elif each.unit is Unit.RATIO:
            overlap = each.with_components(overlap_effect(each))
            kept.append(_scaled(overlap, 1.0, Unit.RATIO, surface))
        else:
            kept += _unscaled(_as_viewed(each, toes, ripples), means, toes, surface)
    return kept


def _told_in_widths(missing: NotMeasured) -> NotMeasured:
    """Tell the length that a toe's waviness needs in weld widths, not in mm."""
    if missing.name is not QuantityName.TOE_WAVINESS:
        return missing
    widths = WINDOW_MM / UNIT_WIDTHS
    reason = f"No steady weld with a clear toe is in view over {widths:.0f} times the weld width."
    return replace(missing, reason=reason)


def _as_viewed(quantity: Quantity, toes: Toes, ripples: Ripples | NotMeasured) -> Quantity:
    """Add what an unknown view may have done to a spread or an extreme.

    A toe's waviness is told from a line of its own in each window: no slow change is in it.
    """
    if quantity.statistic is Statistic.MEAN:
        return quantity
    if quantity.name is QuantityName.WELD_WIDTH:
        places, readings = toes.s_mm[toes.used], toes.width_mm[toes.used]
    elif quantity.name is QuantityName.RIPPLE_SPACING and isinstance(ripples, Ripples):
        places, readings = ripples.s_mm[:-1], ripples.gaps_mm
    else:
        return quantity
    return quantity.with_components(trend_effect(places, readings, quantity.statistic))


def _unscaled(
    quantity: Quantity, means: dict[QuantityName, float], toes: Toes, surface: UnscaledSurface
) -> list[Quantity]:
    in_px = _scaled(quantity, surface.px_per_unit, Unit.PX, surface)
    whole = (
        means.get(QuantityName.RIPPLE_SPACING)
        if quantity.name is QuantityName.RIPPLE_SPACING
        else means.get(QuantityName.WELD_WIDTH)
    )
    if quantity.statistic is Statistic.MEAN or not whole:
        return [in_px]
    # The mean's own uncertainty is left out: it changes a share of it by a share of a share.
    # What shifts every width alike shifts the mean too, and so a share only by what it lacks of 1.
    alike = {component.source for component in width_effects(toes)}
    lacking = abs(1.0 - quantity.value / whole)
    budget = tuple(
        component.times(lacking) if component.source in alike else component
        for component in quantity.budget
    )
    share = replace(quantity, budget=budget)
    return [in_px, _scaled(share, 1.0 / whole, Unit.RATIO, surface)]


def _scaled(quantity: Quantity, factor: float, unit: Unit, surface: UnscaledSurface) -> Quantity:
    first, last = quantity.s_range_mm
    return replace(
        quantity,
        value=quantity.value * factor,
        unit=unit,
        budget=tuple(component.times(factor) for component in quantity.budget),
        s_range_mm=(first * surface.px_per_unit, last * surface.px_per_unit),
    )
