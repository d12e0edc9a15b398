"""Colours of the annotated picture against published rules for contrast and colour vision.

Contrast: W3C Web Content Accessibility Guidelines 2.2, success criteria 1.4.3 (text, 4.5 : 1) and
1.4.11 (graphics, 3 : 1), relative luminance as defined there. From memory.

Colour vision: Machado, Oliveira and Fernandes, A Physiologically-based Model for Simulation of
Color Vision Deficiency, IEEE TVCG 15 (2009), matrices of severity 1.0, for linear light. From
memory (each row sums to 1, as it must for grey to stay grey). Differences by scikit-image's
CIEDE2000.
"""

import itertools

import numpy as np
import pytest
from skimage.color import deltaE_ciede2000, rgb2lab

from beadcheck.report import drawing
from beadcheck.report.signs import FINDING_COLOURS
from beadcheck.report.weld_marks import HALO, TOE_COLOURS

DEFICIENCIES = {
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}


def linear(colour) -> np.ndarray:
    coded = np.asarray(colour, dtype=float) / 255.0
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def contrast(one, other) -> float:
    weights = np.array([0.2126, 0.7152, 0.0722])
    darker, lighter = sorted(float(weights @ linear(colour)) for colour in (one, other))
    return (lighter + 0.05) / (darker + 0.05)


def seen_lab(colour, deficiency: str) -> np.ndarray:
    seen = np.clip(np.array(DEFICIENCIES[deficiency]) @ linear(colour), 0.0, 1.0)
    coded = np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * seen ** (1 / 2.4) - 0.055)
    return rgb2lab(coded)


def test_black_on_white_has_the_contrast_that_the_guidelines_name():
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)


@pytest.mark.parametrize("colour", [drawing.INK, drawing.MUTED])
def test_text_on_paper_is_readable(colour):
    assert contrast(colour, drawing.PAPER) >= 4.5


@pytest.mark.parametrize("colour", FINDING_COLOURS.values())
def test_signs_on_paper_stand_out(colour):
    assert contrast(colour, drawing.PAPER) >= 3.0


@pytest.mark.parametrize("colour", TOE_COLOURS.values())
def test_toe_lines_stand_out_of_their_dark_edge(colour):
    assert contrast(colour, HALO) >= 3.0


@pytest.mark.parametrize("deficiency", DEFICIENCIES)
def test_toe_lines_and_findings_keep_different_colours_in_colour_blind_eyes(deficiency):
    for colours in (TOE_COLOURS.values(), FINDING_COLOURS.values()):
        for one, other in itertools.combinations(dict.fromkeys(colours), 2):
            apart = deltaE_ciede2000(seen_lab(one, deficiency), seen_lab(other, deficiency))
            # 10 is several times what a trained eye tells apart side by side (about 1).
            assert apart > 10.0, (one, other)
