"""Sets of photos for heights, and of passes in a groove from above, with consecutive seeds."""

from pathlib import Path

from samples.making.recipe import Scene
from samples.making.variety_groove import groove_scene
from samples.making.variety_light_line import light_line_scenes
from samples.making.variety_pair import pair_scenes
from samples.making.variety_side_on import side_on_scene

HEIGHT_KINDS = ("side-on", "light-line", "pair", "groove")
# In the order that they come round.
SIDE_ON = ("convex", "undercut", "convex", "underfill", "undercut", "misaligned", "convex", "flat")
LIGHT_LINE = (
    "convex", "undercut", "groove", "convex", "misaligned", "underfill", "flat", "undercut",
    "gauge", "convex", "coin",
)  # fmt: skip
PAIR = (
    "convex", "undercut", "convex", "groove", "flat", "convex", "misaligned", "pipe", "underfill",
    "gauge",
)  # fmt: skip
REFUSED = {"side-on": ("hidden",), "light-line": ("upright", "soft"), "pair": ("same", "two")}


def draw_height_scenes(
    *, kind: str, first_seed: int, count: int, refusals: int, targets: Path
) -> list[Scene]:
    """Photos of `count` coupons, and of `refusals` more that must be refused (none in a groove)."""
    if kind == "groove":
        return [groove_scene(f"{k:03d}", first_seed + k, targets=targets) for k in range(count)]
    forms = {"side-on": SIDE_ON, "light-line": LIGHT_LINE, "pair": PAIR}[kind]
    drawn = [forms[k % len(forms)] for k in range(count)]
    drawn += [REFUSED[kind][k % len(REFUSED[kind])] for k in range(refusals)]
    scenes: list[Scene] = []
    for k, form in enumerate(drawn):
        name, seed = f"{k:03d}", first_seed + k
        if kind == "side-on":
            scenes.append(side_on_scene(name, seed, form=form, targets=targets))
        elif kind == "light-line":
            lines = 3 if k % 6 == 3 else 1
            scenes += light_line_scenes(name, seed, form=form, targets=targets, lines=lines)
        else:
            views = 3 if k % 5 == 2 and k < count else 2
            scenes += pair_scenes(name, seed, form=form, targets=targets, views=views)
    return scenes
