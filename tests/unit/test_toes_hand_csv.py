"""The file of toe points: what it may look like, and one sentence for each thing it may not."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_array_equal
from PIL import Image

from beadcheck.errors import InputFileError
from beadcheck.photo import photo_size_px, read_photo
from beadcheck.toes.hand_csv import read_hand_toes

SIZE_PX = (900, 700)
ROWS = "toe,x_px,y_px\nleft,10.5,200\nright,12,290\nleft,800,210.25\nright,790,300\n"


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    path = tmp_path / "cap 3.png"
    Image.new("RGB", SIZE_PX, (90, 80, 70)).save(path)
    return path


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "toes.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def refusal(path: Path, *photos: Path) -> str:
    with pytest.raises(InputFileError) as caught:
        read_hand_toes(path, photos)
    sentence = str(caught.value)
    assert "toes.csv" in sentence
    assert "\n" not in sentence
    return sentence


@pytest.mark.parametrize(
    "text",
    [
        ROWS,
        "\ufeff" + ROWS.replace("\n", "\r\n"),
        ROWS.replace(",", ";").replace(".", ","),
        "Y_px, X_px ,note,TOE\n200,10.5,a,Left\n290,12,,RIGHT\n\n"
        "210.25,800,,left\n300,790,,right\n",
        "file,"
        + ROWS.replace("\n", "\ncap 3.png,").removesuffix("cap 3.png,")
        + "other.jpg,left,1e9,5\n",
    ],
    ids=["plain", "as saved on Windows", "decimal comma", "other order", "several photos"],
)
def test_one_table_reads_alike_however_a_spreadsheet_saves_it(
    tmp_path: Path, photo: Path, text: str
) -> None:
    (toes,) = read_hand_toes(written(tmp_path, text), [photo]).values()
    assert_array_equal(toes.left_px, [[10.5, 200.0], [800.0, 210.25]])
    assert_array_equal(toes.right_px, [[12.0, 290.0], [790.0, 300.0]])


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line 1: the columns are not named"),
        ("toe,x,y\nleft,1,2\n", "line 1: the columns are toe,x,y"),
        (ROWS + "middle,5,5\n", "line 6: toe is middle, but must be left or right"),
        (ROWS + "left,5\n", "line 6: y_px is empty"),
        (ROWS + "left,5,two\n", "line 6: y_px is two"),
        (ROWS + "left,nan,2\n", "line 6: x_px is nan"),
        (ROWS + "left,900,2\n", "line 6: x_px is 900, but must be between 0 and 899"),
        (ROWS + "left,5,-3\n", "line 6: y_px is -3, but must be between 0 and 699"),
        ("toe,x_px,y_px\n", "no row is about cap 3.png"),
        ("toe,x_px,y_px,file\nleft,1,2,b.jpg\nleft,3,4,b.jpg\n", "no row is about cap 3.png"),
        ("toe,x_px,y_px\nleft,5,5\n", "line 2: this is the only point of the left toe"),
        ("toe,x_px,y_px\nleft,5,5\nleft,5,5\n", "line 2: this is the only point"),
        ("toe,x_px,y_px\nleft,5,5\nleft,600,400\nright,5,400\nright,600,5\n", "lines 2 to 5"),
        ("toe,x_px,y_px\nleft,5,5\nleft,600,5\nright,5,9\nright,600,9\n", "same side"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\xff", "it is not UTF-8 text"),
        (b"toe,x_px,y_px\nleft,\x00,2\n", "x_px is"),
    ],
)
def test_what_is_wrong_is_said_with_its_line(
    tmp_path: Path, photo: Path, text: str | bytes, words: str
) -> None:
    assert words in refusal(written(tmp_path, text), photo)


def test_several_photos_want_the_column_that_tells_them_apart(tmp_path: Path, photo: Path) -> None:
    other = tmp_path / "root.png"
    Image.new("RGB", SIZE_PX).save(other)
    assert "no column file, and 2 photos" in refusal(written(tmp_path, ROWS), photo, other)
    twin = tmp_path / "again" / photo.name
    twin.parent.mkdir()
    Image.new("RGB", SIZE_PX).save(twin)
    named = "file," + ROWS.replace("\n", "\ncap 3.png,").removesuffix("cap 3.png,")
    assert "two of the photos are called cap 3.png" in refusal(
        written(tmp_path, named), photo, twin
    )
    assert list(read_hand_toes(written(tmp_path, named), [photo, other])) == [photo]


def test_a_file_that_is_not_there_or_too_large_is_refused(tmp_path: Path, photo: Path) -> None:
    assert "no such file" in refusal(tmp_path / "no toes.csv", photo)
    assert "larger than 1 MB" in refusal(written(tmp_path, "x" * 1_000_001), photo)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=150)
@given(
    data=st.one_of(
        st.binary(max_size=300), st.text(max_size=120).map(lambda more: (ROWS + more).encode())
    )
)
def test_any_bytes_give_toes_or_one_sentence(tmp_path: Path, photo: Path, data: bytes) -> None:
    said = ""
    toes = {}
    try:
        toes = read_hand_toes(written(tmp_path, data), [photo])
    except InputFileError as refused:
        said = str(refused)
    assert bool(said) != bool(toes)
    assert "\n" not in said
    assert all(np.isfinite(each.left_px).all() for each in toes.values())


@pytest.mark.parametrize("orientation", range(1, 9))
def test_the_size_from_the_header_is_that_of_the_upright_photo(
    tmp_path: Path, orientation: int
) -> None:
    path = tmp_path / "turned.jpg"
    data = Image.Exif()
    data[0x0112] = orientation
    Image.new("RGB", SIZE_PX, (90, 80, 70)).save(path, exif=data)
    photo = read_photo(path)
    assert photo_size_px(path) == (photo.width_px, photo.height_px)
