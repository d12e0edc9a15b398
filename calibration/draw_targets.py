"""Draw the targets of this folder again: ``python calibration/draw_targets.py``.

Each is what ``beadcheck target`` draws; a test holds the files to the code.
"""

from pathlib import Path
from typing import Final

from beadcheck.coupon.pipe_sizes import parse_pipe_size
from beadcheck.target.catalogue import bore_strip, pipe_strip, plate_card, plate_strips
from beadcheck.target.ink import Paper
from beadcheck.target.pages import draw_pdf
from beadcheck.target.write import target_toml

FOLDER: Final = Path(__file__).parent
BORE_OF: Final = "NPS 6 SCH 40"
PIPES: Final = ("NPS 2", "NPS 6", "NPS 8")


def main() -> None:
    """Write every target file, and its page on both papers."""
    designs = {"plate-card": plate_card(), "plate-strips": plate_strips()}
    for pipe in PIPES:
        size = parse_pipe_size(pipe)
        designs[f"pipe-strip-nps-{size.nps}"] = pipe_strip(size.outside_diameter_mm)
    size = parse_pipe_size(BORE_OF)
    bore_mm = round(size.outside_diameter_mm - 2.0 * (size.wall_thickness_mm or 0.0), 3)
    designs["bore-strip-nps-6-sch-40"] = bore_strip(bore_mm)
    for name, design in designs.items():
        (FOLDER / f"{name}.toml").write_text(target_toml(design), encoding="utf-8")
        for paper in Paper:
            (FOLDER / f"{name}-{paper}.pdf").write_bytes(draw_pdf(design, paper))


if __name__ == "__main__":
    main()
