"""Write the trained toe placer as ONNX, and check that OpenCV computes what PyTorch computes.

    python calibration/finder/export_placer.py --weights FOLDER/placer.pt

Needs torch, onnx, onnxruntime and opencv-python 5.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Final

import torch
from export import check_parity, random_codes
from placer_net import HALF_ROWS, PlacerNet

SHIPPED: Final = Path(__file__).parents[2] / "beadcheck" / "finder" / "toe_placer.onnx"
ROWS: Final = 2 * HALF_ROWS + 1


def export(weights: Path, out: Path) -> PlacerNet:
    """Write the network, its number of columns left open."""
    net = PlacerNet()
    net.load_state_dict(torch.load(weights, map_location="cpu"))
    net.eval()
    torch.onnx.export(
        net,
        (torch.zeros(1, 3, ROWS, 224),),
        str(out),
        input_names=["strip"],
        output_names=["answer"],
        dynamic_axes={"strip": {3: "columns"}, "answer": {2: "pairs"}},
        opset_version=17,
        dynamo=False,
    )
    return net


def main() -> None:
    """Read the command line, export and check."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--weights", type=Path, required=True)
    parser.add_argument("--out", type=Path, default=SHIPPED)
    asked = parser.parse_args()
    net = export(asked.weights, asked.out)
    print(f"{asked.out.stat().st_size / 2**20:.2f} MiB")
    check_parity(
        net, asked.out, random_codes([(ROWS, columns) for columns in (224, 58, 1000, 224)])
    )


if __name__ == "__main__":
    main()
