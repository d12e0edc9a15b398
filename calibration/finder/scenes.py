"""Made-up pictures of welds, and of plates without one, with exact labels of each pixel."""

from __future__ import annotations

import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from camera import photograph
from dice import Dice, blend, cloud_bank, smooth_step, white_bank
from drawings import card_bank, room_bank, stroke_bank
from ground import STEP_PX, Ground, lay_welds, relief_px
from lighting import (
    CREVICE_MOST_PX,
    cast_shadow,
    crevice_shade,
    draw_view,
    shade,
    shifted_by_height,
)
from plates import Textures, clouds, lay_over
from surroundings import (
    heat_marked,
    marked,
    plate_finish,
    tilted_normals,
    weld_finish,
    with_background,
    with_cards,
    with_rod,
)
from torch import Tensor


def make_textures(dice: Dice, count: int = 48) -> Textures:
    """Draw every texture bank once."""
    return Textures(
        white=white_bank(dice),
        clouds=cloud_bank(dice),
        strokes=stroke_bank(dice, count, scratches=False),
        scratches=stroke_bank(dice, count, scratches=True),
        cards=card_bank(dice, count),
        rooms=room_bank(dice, 4 * count),
    )


def _dimmed(dice: Dice, textures: Textures, light: Tensor, ground: Ground) -> Tensor:
    """Uneven light over the picture, shadows of hands, and sometimes a laser line."""
    broad = clouds(dice, textures, ground.x, ground.y, dice.log_uniform(2, 8))
    light = light * torch.exp(dice.uniform(0, 0.4) * broad)[:, None]
    soft = dice.log_uniform(0.02, 0.6)
    hand = clouds(dice, textures, ground.x, ground.y, dice.log_uniform(1.5, 6)) - dice.uniform(
        0.2, 1.5
    )
    dark = dice.chance(0.33) * dice.uniform(0.2, 0.9) * smooth_step(-soft, soft, hand)
    light = light * (1 - dark)[:, None]
    turn = dice.uniform(0, 6.2832)
    off = torch.cos(turn) * ground.x + torch.sin(turn) * ground.y - 60 * dice.normal()
    glow = torch.exp(-((off / dice.log_uniform(0.8, 5)) ** 2)) * dice.chance(0.04)
    laser = torch.tensor((1.0, 0.15, 0.1), device=light.device).view(1, 3, 1, 1)
    return light + glow[:, None] * laser * dice.log_uniform(0.3, 4)[:, None] * light.mean()


def _map_margin(dice: Dice, codes: Tensor, shares: Tensor) -> tuple[Tensor, Tensor]:
    """Blank what a rectified map did not see: beyond a straight line, one flat tone."""
    height, width = codes.shape[-2:]
    rows = torch.arange(height, device=codes.device)[None, :, None] - height / 2
    columns = torch.arange(width, device=codes.device)[None, None] - width / 2
    turn = torch.round(dice.uniform(0, 4)) * 1.5708 + dice.normal(0.1)
    past = torch.cos(turn) * columns + torch.sin(turn) * rows
    past = past - dice.uniform(0.55, 0.95) * min(height, width) / 2
    blank = ((past > 0).float() * dice.chance(0.08))[:, None]
    tone = 255 * torch.round(dice.uniform(0, 2)[:, None] * dice.chance(0.4)[:, None]) / 2
    other = torch.tensor((0.0, 0.0, 1.0), device=codes.device).view(1, 3, 1, 1)
    return blend(codes, tone.round(), blank), blend(shares, other, blank)


@torch.no_grad()
def draw_scenes(
    dice: Dice, textures: Textures, side: int, *, strip_share: float
) -> tuple[Tensor, Tensor]:
    """Draw a batch of scenes as an ideal camera would see them.

    Returns
    -------
    tuple of Tensor
        Linear light in the order R G B, mean about 1 (B, 3, side, side), and the shares of weld
        face and of other things in each pixel (B, 2, side, side).
    """
    ground = lay_welds(dice, textures, side, side, strip_share=strip_share)
    base = plate_finish(dice, textures, ground)
    finish = heat_marked(dice, textures, base, ground)
    finish = lay_over(finish, weld_finish(dice, textures, base, ground), ground.weld)
    finish = marked(dice, textures, finish, ground)
    covering = with_background(dice, textures, finish, ground, (side, side))
    covering = with_cards(dice, textures, covering, ground)
    relief = relief_px(dice, textures, ground) * (1 - covering.other)
    covering, rod_height = with_rod(dice, textures, covering, ground)
    relief = torch.maximum(relief, rod_height)
    view = draw_view(dice, float(side))
    normal = tilted_normals(dice, ground, relief, covering.finish, STEP_PX)
    width_px = ground.run.width_px
    tall = rod_height.amax((1, 2), keepdim=True)
    reach = torch.maximum(width_px * dice.uniform(0.2, 1.2), tall)
    lit = cast_shadow(relief, view, reach, dice.log_uniform(0.02, 0.5), STEP_PX)
    hollow = (0.15 * width_px).clamp(2, CREVICE_MOST_PX)
    open_sky = crevice_shade(relief, hollow, dice.uniform(0, 4), STEP_PX)
    light = shade(
        dice,
        textures,
        covering.finish,
        normal,
        view,
        ground.x,
        ground.y,
        open_sky=open_sky,
        lit=lit,
    )
    light = _dimmed(dice, textures, light, ground)
    weld = ground.weld * (1 - covering.other)
    seen = torch.cat((light, weld[:, None], covering.other[:, None]), dim=1)
    seen = F.avg_pool2d(shifted_by_height(seen, relief, view, STEP_PX), 2)
    light = seen[:, :3] / seen[:, :3].mean(dim=(1, 2, 3), keepdim=True).clamp_min(1e-6)
    return light.clamp(0, 500), seen[:, 3:].clamp(0, 1)


@torch.no_grad()
def photographed(dice: Dice, light: Tensor, shares: Tensor) -> tuple[Tensor, Tensor]:
    """Photograph scenes whose sides 16 divides.

    Returns
    -------
    tuple of Tensor
        Code values 0 to 255 in the order B G R, and the shares of weld face, base metal and other
        things in each pixel: (B, 3, height, width) both.
    """
    base = (1 - shares.sum(dim=1, keepdim=True)).clamp(0, 1)
    three = torch.cat((shares[:, :1], base, shares[:, 1:]), dim=1)
    return _map_margin(dice, photograph(dice, light).flip(1), three)
