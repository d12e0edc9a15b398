"""Write the trained bead finder as ONNX, and check that OpenCV computes what PyTorch computes.

    python calibration/finder/export.py --weights FOLDER/finder.pt

Needs torch, onnx, onnxruntime and opencv-python 5.
"""

from __future__ import annotations

import argparse
import time
from pathlib import Path

import cv2
import numpy as np
import onnxruntime
import torch
from network import FinderGraph, FinderNet

SHIPPED = Path(__file__).parents[2] / "beadcheck" / "finder" / "bead_finder.onnx"
PARITY_LIMIT = 2e-3


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


def check_parity(graph: FinderGraph, path: Path) -> None:
    """Compare OpenCV, ONNX Runtime and PyTorch on several sizes; print times and differences."""
    dnn = cv2.dnn.readNetFromONNX(str(path))
    session = onnxruntime.InferenceSession(str(path), providers=["CPUExecutionProvider"])
    rng = np.random.default_rng(5)
    for height, width in ((384, 512), (256, 640), (96, 1024), (512, 384), (384, 512)):
        codes = cv2.GaussianBlur(
            rng.integers(0, 256, (height, width, 3), dtype=np.uint8), (0, 0), 3
        )
        blob = codes.transpose(2, 0, 1)[None].astype(np.float32) * 2 - 120
        began = time.perf_counter()
        dnn.setInput(blob)
        by_opencv = dnn.forward()
        spent = time.perf_counter() - began
        by_runtime = session.run(None, {"codes": blob})[0]
        with torch.no_grad():
            by_torch = graph(torch.from_numpy(blob)).numpy()
        worst = max(np.abs(by_opencv - by_torch).max(), np.abs(by_runtime - by_torch).max())
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
    check_parity(graph, asked.out)


if __name__ == "__main__":
    main()
