"""Write the trained bead finder as ONNX, and check that OpenCV computes what PyTorch computes.

    python calibration/finder/export.py --weights FOLDER/finder.pt

Needs torch, onnx, onnxruntime and opencv-python 5.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Sequence
from pathlib import Path

import cv2
import numpy as np
import onnxruntime
import torch
from network import FinderGraph, FinderNet
from numpy.typing import NDArray
from torch import nn

SHIPPED = Path(__file__).parents[2] / "beadcheck" / "finder" / "bead_finder.onnx"
PARITY_LIMIT = 2e-3
SIZES = ((384, 512), (256, 640), (96, 1024), (512, 384), (384, 512))


def export(weights: Path, out: Path) -> FinderGraph:
    """Write the graph, its height and width left open."""
    saved = torch.load(weights, map_location="cpu")
    net = FinderNet()
    net.load_state_dict(saved["weights"])
    graph = FinderGraph(net, saved["temperature"]).eval()
    torch.onnx.export(
        graph,
        (torch.zeros(1, 3, 256, 320),),
        str(out),
        input_names=["codes"],
        output_names=["shares"],
        dynamic_axes={"codes": {2: "height", 3: "width"}, "shares": {2: "height", 3: "width"}},
        opset_version=17,
        dynamo=False,
        do_constant_folding=True,
    )
    return graph


def random_codes(sizes: Sequence[tuple[int, int]]) -> list[NDArray[np.float32]]:
    """Smooth random pictures (1, 3, height, width), some of their codes beyond 0 to 255."""
    rng = np.random.default_rng(5)
    pictures = []
    for height, width in sizes:
        noise = rng.integers(0, 256, (height, width, 3), dtype=np.uint8)
        codes = cv2.GaussianBlur(noise, (0, 0), 3)
        pictures.append(codes.transpose(2, 0, 1)[None].astype(np.float32) * 2 - 120)
    return pictures


def check_parity(graph: nn.Module, path: Path, pictures: Sequence[NDArray[np.float32]]) -> None:
    """Compare OpenCV, ONNX Runtime and PyTorch; print times and differences."""
    dnn = cv2.dnn.readNetFromONNX(str(path))
    session = onnxruntime.InferenceSession(str(path), providers=["CPUExecutionProvider"])
    name = session.get_inputs()[0].name
    for blob in pictures:
        began = time.perf_counter()
        dnn.setInput(blob)
        by_opencv = dnn.forward()
        spent = time.perf_counter() - began
        by_runtime = session.run(None, {name: blob})[0]
        with torch.no_grad():
            by_torch = graph(torch.from_numpy(blob)).numpy()
        worst = max(np.abs(by_opencv - by_torch).max(), np.abs(by_runtime - by_torch).max())
        height, width = blob.shape[2:]
        print(f"{height} x {width}: OpenCV {spent:.3f} s, largest difference {worst:.2e}")
        if not worst < PARITY_LIMIT:
            raise SystemExit("The exported network does not compute what was trained.")


def main() -> None:
    """Read the command line, export and check."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--weights", type=Path, required=True)
    parser.add_argument("--out", type=Path, default=SHIPPED)
    asked = parser.parse_args()
    graph = export(asked.weights, asked.out)
    print(f"{asked.out.stat().st_size / 2**20:.2f} MiB")
    check_parity(graph, asked.out, random_codes(SIZES))


if __name__ == "__main__":
    main()
