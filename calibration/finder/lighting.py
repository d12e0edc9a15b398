"""Light on metal: mirrored rooms, one lamp with its cast shadow, and how a raised bead shifts."""

from __future__ import annotations

from dataclasses import dataclass

import torch
import torch.nn.functional as F  # noqa: N812 - the name that torch's users know
from dice import Dice, gaussian_blur, look_up, smooth_step
from plates import Finish, Textures
from torch import Tensor

SMEAR_TAPS = (-0.9, -0.3, 0.3, 0.9)
SHADOW_STEPS = 6
CREVICE_MOST_PX = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Where the camera and the lamp stand; (B, 1, 1) numbers in px and radians."""

    tilt: Tensor
    tilt_toward: Tensor
    distance_px: Tensor
    lamp_toward: Tensor
    lamp_height: Tensor


def draw_view(dice: Dice, picture_px: float) -> View:
    """Draw the camera's and the lamp's place."""
    return View(
        tilt=(dice.normal(0.28)).abs().clamp_max(0.75),
        tilt_toward=dice.uniform(0, 6.2832),
        distance_px=picture_px * dice.log_uniform(0.8, 6),
        lamp_toward=dice.uniform(0, 6.2832),
        lamp_height=dice.uniform(0.25, 1.5),
    )


def slopes(height: Tensor, step_px: float) -> tuple[Tensor, Tensor]:
    """Central differences of (B, H, W) in x and in y."""
    padded = F.pad(height[:, None], (1, 1, 1, 1), mode="replicate")[:, 0]
    along_x = (padded[:, 1:-1, 2:] - padded[:, 1:-1, :-2]) / (2 * step_px)
    along_y = (padded[:, 2:, 1:-1] - padded[:, :-2, 1:-1]) / (2 * step_px)
    return along_x, along_y


def _unit(vector: Tensor) -> Tensor:
    return vector / torch.linalg.vector_norm(vector, dim=1, keepdim=True).clamp_min(1e-6)


def _at_offset(field: Tensor, dx_px: Tensor, dy_px: Tensor, step_px: float) -> Tensor:
    """Read fields (B, C, H, W) at their own points moved by an offset in px."""
    rows, columns = field.shape[-2:]
    down = torch.arange(rows, device=field.device, dtype=torch.float32)[None, :, None] + 0.5
    across = torch.arange(columns, device=field.device, dtype=torch.float32)[None, None] + 0.5
    across, down = torch.broadcast_tensors(across + dx_px / step_px, down + dy_px / step_px)
    return look_up(field, across, down)


def cast_shadow(
    height: Tensor, view: View, reach_px: Tensor, softness: Tensor, step_px: float
) -> Tensor:
    """How much of the lamp each point sees, 0 to 1: (B, H, W)."""
    lit = torch.ones_like(height)
    rise = torch.tan(view.lamp_height)
    for number in range(1, SHADOW_STEPS + 1):
        run = reach_px * (number / SHADOW_STEPS) ** 1.5
        dx, dy = run * torch.cos(view.lamp_toward), run * torch.sin(view.lamp_toward)
        there = _at_offset(height[:, None], dx, dy, step_px)[:, 0]
        over = there - height - run * rise
        lit = torch.minimum(lit, 1 - smooth_step(0.0, 1.0, over / (softness * run + 0.3)))
    return lit


def crevice_shade(height: Tensor, size_px: Tensor, strength: Tensor, step_px: float) -> Tensor:
    """Less sky is seen from hollows: a factor about 1, (B, H, W)."""
    small = F.avg_pool2d(height[:, None], 4)
    around = gaussian_blur(small, size_px / (4 * step_px), most_px=CREVICE_MOST_PX / (4 * step_px))
    around = F.interpolate(around, size=height.shape[-2:], mode="bilinear")[:, 0]
    return torch.exp(-strength * ((around - height) / size_px).clamp(-0.5, 1.5))


def shade(
    dice: Dice,
    textures: Textures,
    finish: Finish,
    normal: Tensor,
    view: View,
    x: Tensor,
    y: Tensor,
    *,
    open_sky: Tensor,
    lit: Tensor,
) -> Tensor:
    """Linear light (B, 3, H, W) that a surface with normals (B, 3, H, W) sends to the camera."""
    off = view.distance_px * torch.tan(view.tilt)
    eye_x, eye_y = off * torch.cos(view.tilt_toward) - x, off * torch.sin(view.tilt_toward) - y
    to_eye = _unit(torch.stack((eye_x, eye_y, view.distance_px + 0 * eye_x), dim=1))
    facing = (normal * to_eye).sum(dim=1, keepdim=True)
    mirrored = 2 * facing * normal - to_eye
    room = textures.rooms[dice.pick(len(textures.rooms))].transpose(1, 2)
    turn = dice.uniform(0, 6.2832)
    rx = torch.cos(turn) * mirrored[:, 0] - torch.sin(turn) * mirrored[:, 1]
    ry = torch.sin(turn) * mirrored[:, 0] + torch.cos(turn) * mirrored[:, 1]
    sx = torch.cos(turn) * finish.smear[:, 0] - torch.sin(turn) * finish.smear[:, 1]
    sy = torch.sin(turn) * finish.smear[:, 0] + torch.cos(turn) * finish.smear[:, 1]
    depth = 2 * finish.roughness[:, 0].clamp(0, 1) ** 0.5 - 1
    centre_x, centre_y = dice.uniform(-0.35, 0.35), dice.uniform(-0.35, 0.35)
    sky = torch.zeros_like(normal)
    for tap in SMEAR_TAPS:
        at = torch.stack((rx + tap * sx + centre_x, ry + tap * sy + centre_y, depth), dim=-1)[
            :, None
        ]
        sky = sky + F.grid_sample(room, at, padding_mode="reflection", align_corners=False)[:, :, 0]
    sky = sky / len(SMEAR_TAPS)
    flat = torch.cos(view.lamp_height)
    to_lamp = torch.stack(
        (
            flat * torch.cos(view.lamp_toward),
            flat * torch.sin(view.lamp_toward),
            torch.sin(view.lamp_height),
        ),
        dim=1,
    )
    halfway = _unit(to_lamp + to_eye)
    gloss = (normal * halfway).sum(dim=1, keepdim=True).clamp(0, 1)
    sharp = 2 / (finish.roughness.clamp_min(0.06) ** 2)
    glint = (sharp + 2) / 8 * gloss**sharp
    power = (dice.chance(0.7) * dice.log_uniform(0.1, 4))[:, None] * lit[:, None]
    lamp_tone = torch.exp(0.08 * dice.normals(dice.batch, 3, 1, 1))
    diffuse = (normal * to_lamp).sum(dim=1, keepdim=True).clamp_min(0)
    ambient = room[:, :, -1].mean(dim=(2, 3))[:, :, None, None]
    lean = torch.exp(
        0.5 * dice.normal()[:, None] * normal[:, :1] + 0.5 * dice.normal()[:, None] * normal[:, 1:2]
    )
    shine = finish.mirror * (sky * open_sky[:, None] + power * lamp_tone * glint.clamp_max(30))
    return shine + finish.matt * (ambient * lean * open_sky[:, None] + power * lamp_tone * diffuse)


def shifted_by_height(fields: Tensor, height: Tensor, view: View, step_px: float) -> Tensor:
    """Fields (B, C, H, W) as the tilted camera sees them: raised parts shift away from it."""
    shift = torch.tan(view.tilt)
    ux, uy = torch.cos(view.tilt_toward) * shift, torch.sin(view.tilt_toward) * shift
    seen = height
    for _ in range(5):
        seen = 0.5 * seen + 0.5 * _at_offset(height[:, None], ux * seen, uy * seen, step_px)[:, 0]
    return _at_offset(fields, ux * seen, uy * seen, step_px)
