"""Write the trained height network as ONNX, and check that ONNX Runtime computes the same.

python calibration/heights/export.py --weights heights.pt --out height_reader.onnx
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np
import onnxruntime
import torch
from network import PLANES, HeightNet

PARITY_LIMIT = 2e-3
SIZES = ((96, 200), (128, 264), (64, 96))


def main() -> None:
    """Export, its rows and columns left open, and compare."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--weights", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    asked = parser.parse_args()
    net = HeightNet()
    net.load_state_dict(torch.load(asked.weights, map_location="cpu")["weights"])
    net.eval()
    torch.onnx.export(
        net,
        (torch.zeros(1, PLANES, 96, 128),),
        str(asked.out),
        input_names=["planes"],
        output_names=["answer"],
        dynamic_axes={"planes": {2: "rows", 3: "columns"}, "answer": {2: "rows", 3: "columns"}},
        opset_version=17,
        dynamo=False,
        do_constant_folding=True,
    )
    session = onnxruntime.InferenceSession(str(asked.out))
    rng = np.random.default_rng(5)
    for rows, columns in SIZES:
        planes = rng.normal(0.0, 0.4, (1, PLANES, rows, columns)).astype(np.float32)
        with torch.no_grad():
            ours = net(torch.from_numpy(planes)).numpy()
        theirs = session.run(None, {"planes": planes})[0]
        apart = float(np.abs(ours - theirs).max())
        print(f"{rows} x {columns}: {apart:.6f} apart")
        if apart > PARITY_LIMIT:
            message = "ONNX Runtime computes something else"
            raise SystemExit(message)


if __name__ == "__main__":
    main()
