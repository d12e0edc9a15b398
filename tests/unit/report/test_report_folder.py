"""The output folder holds whole files, and nothing of anybody else's is lost."""

import json

import numpy as np
import pytest

from beadcheck.errors import SettingError
from beadcheck.errors.output import FolderNotWritableError, ForeignFileError, NotAFolderError
from beadcheck.report.folder import output_folder, picture_names
from beadcheck.result import result_from_json

PICTURE = np.full((20, 30, 3), 128, np.uint8)


def write(path, result, files=("coupon.jpg",)):
    with output_folder(path, files) as folder:
        for index in range(len(files)):
            folder.add_picture(index, PICTURE)
        folder.finish(result)


def _break_off(path):
    with output_folder(path, ["x.jpg"]) as folder:
        folder.add_picture(0, PICTURE)
        raise RuntimeError


def test_it_holds_the_result_the_stations_and_a_picture_of_each_photo(tmp_path, make_result):
    result = make_result()
    write(tmp_path / "new" / "out", result, ["a.jpg", "A.JPG", "b.heic"])
    names = sorted(path.name for path in (tmp_path / "new" / "out").iterdir())
    expected = {"A-2.measured.jpg", "a.measured.jpg", "b.measured.jpg"}
    assert set(names) == expected | {
        "result.json",
        "stations.csv",
        "findings.csv",
        "indications.csv",
        "profiles.csv",
        "sectors.csv",
        "beads.csv",
        "fit-up.csv",
    }
    text = (tmp_path / "new" / "out" / "result.json").read_text("utf-8")
    assert result_from_json(text) == result
    assert (
        (tmp_path / "new" / "out" / "stations.csv").read_bytes().startswith(b"\xef\xbb\xbfphoto,")
    )


def test_an_earlier_result_is_replaced(tmp_path, make_result, make_refusal):
    write(tmp_path, make_result())
    write(tmp_path, make_refusal())
    text = (tmp_path / "result.json").read_text("utf-8")
    assert not result_from_json(text).photos[0].usable


def test_what_breaks_off_leaves_the_folder_as_it_was(tmp_path, make_result):
    write(tmp_path / "old", make_result())
    before = {path.name: path.read_bytes() for path in (tmp_path / "old").iterdir()}
    for path in (tmp_path / "old", tmp_path / "fresh"):
        with pytest.raises(RuntimeError):
            _break_off(path)
    assert {path.name: path.read_bytes() for path in (tmp_path / "old").iterdir()} == before
    assert not (tmp_path / "fresh").exists()


@pytest.mark.parametrize("name", ["result.json", "stations.csv", "findings.csv", "indications.csv"])
@pytest.mark.parametrize("content", ["", "shopping,list\n1,2\n", json.dumps({"format": "other/1"})])
def test_a_file_that_is_not_ours_is_never_overwritten(tmp_path, make_result, name, content):
    (tmp_path / name).write_text(content, "utf-8")
    with pytest.raises(ForeignFileError, match=name):
        write(tmp_path, make_result())
    assert (tmp_path / name).read_text("utf-8") == content
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_a_file_in_the_folders_place_is_refused(tmp_path, make_result):
    (tmp_path / "notes.txt").write_text("mine", "utf-8")
    with pytest.raises(NotAFolderError):
        write(tmp_path / "notes.txt", make_result())
    with pytest.raises(FolderNotWritableError, match="not a directory"):
        write(tmp_path / "notes.txt" / "out", make_result())


def test_every_refusal_of_a_folder_counts_as_wrong_usage():
    for refusal in (NotAFolderError("a"), FolderNotWritableError("a", "b"), ForeignFileError("a")):
        assert isinstance(refusal, SettingError)
        assert str(refusal).count("{") == 0


def test_picture_names_are_alike_for_no_two_photos():
    names = picture_names(["a.jpg", "A.heic", "a-2.jpg", "a.png"])
    assert len({name.casefold() for name in names}) == 4


def test_what_an_earlier_result_drew_of_a_whole_weld_goes_and_nothing_else(tmp_path, make_result):
    for name in ("whole.unrolled.jpg", "whole.round.svg", "whole.along.svg", "whole.notes.txt"):
        (tmp_path / name).write_bytes(b"earlier")
    write(tmp_path, make_result())
    assert [path.name for path in sorted(tmp_path.glob("whole.*"))] == ["whole.notes.txt"]


def test_what_an_earlier_result_drew_of_a_photo_goes_where_nothing_is_drawn_now(
    tmp_path, make_result
):
    drawn = {f"coupon{ending}" for ending in (".measured.jpg", ".heights.csv", ".relief.jpg")}
    others = {"other.measured.jpg", "coupon.jpg"}
    for name in drawn | others:
        (tmp_path / name).write_bytes(b"earlier")
    with output_folder(tmp_path, ["coupon.jpg"]) as folder:
        folder.finish(make_result())
    there = {path.name for path in tmp_path.iterdir()}
    assert others <= there
    assert not drawn & there
