"""The skin of a pipe that is seen all the way round: it closes without a line."""

import numpy as np

from samples.making.canvas import Canvas
from samples.making.noise import Floats, Image
from samples.making.paint import paint_metal
from samples.making.recipe import Scene
from samples.making.weld import Weld

CLOSING_MM = 25.0  # over which one end of the skin turns into the other
MOST_TEXELS = 20e6


def paint_round(scene: Scene, weld: Weld, span: Floats, texel_mm: float) -> Canvas:
    """Paint more than one turn, and let its end pass into its start."""
    longer = span + np.array([0.0, CLOSING_MM, 0.0, 0.0])
    canvas = paint_metal(scene, weld, longer, texel_mm, most_texels=MOST_TEXELS)
    step = (longer[1] - longer[0]) / len(canvas.s_mm)
    turn = round((span[1] - span[0]) / step)
    layers = (canvas.colour, canvas.rough, canvas.metal, canvas.slope)
    colour, rough, metal, slope = (closed(layer, turn) for layer in layers)
    return Canvas(
        span_mm=span,
        texel_mm=canvas.texel_mm,
        s_mm=canvas.s_mm[:turn],
        t_mm=canvas.t_mm,
        colour=colour,
        rough=rough,
        metal=metal,
        slope=slope,
    )


def closed(layer: Image, turn: int) -> Image:
    """The first `turn` columns; what was painted beyond them passes into the first."""
    beyond = layer.shape[1] - turn
    share = (np.arange(beyond, dtype=np.float32) + 0.5) / np.float32(beyond)
    share = share.reshape((1, beyond) + (1,) * (layer.ndim - 2))
    made = layer[:, :turn].copy()
    made[:, :beyond] = share * made[:, :beyond] + (1 - share) * layer[:, turn:]
    return made
