"""Class lists as spreadsheets save them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beadcheck.errors import BeadcheckError
from beadcheck.errors.log import ClassListNotReadableError, NobodyInClassListError
from beadcheck.log import NewPerson, read_class_list

TERN = NewPerson(name="Tern", number="0017", class_name="second term")


def read(tmp_path, text: str, *, coding: str = "utf-8", **said):
    path = tmp_path / "class.csv"
    path.write_bytes(text.encode(coding))
    return read_class_list(path, **said)


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_separators_codings_and_line_ends_do_not_matter(tmp_path, coding, separator, ending):
    rows = (("Number", "Nickname", "Class"), ("0017", "Tern", "second term"))
    text = ending.join(separator.join(row) for row in rows) + ending
    assert read(tmp_path, text, coding=coding).people == (TERN,)


@pytest.mark.parametrize(
    ("heading", "row", "name", "number"),
    [
        ("Student No.,Name", "0017,Tern", "Tern", "0017"),
        ("ID;First name;Surname", "0017;Tern;of the Quay", "Tern of the Quay", "0017"),
        ("name", "Tern", "Tern", None),
        ("learner_id", "0017", "0017", "0017"),
        ("No,Remark,Learner", "0017,late,Tern", "Tern", "0017"),
        ('"Name","Number"', '"Tern, the first","0017"', "Tern, the first", "0017"),
    ],
)
def test_columns_are_known_by_their_headings(tmp_path, heading, row, name, number):
    (person,) = read(tmp_path, f"{heading}\n{row}\n").people
    assert (person.name, person.number) == (name, number)


@pytest.mark.parametrize(
    ("text", "people"),
    [
        ("Tern\nMoth\n", [("Tern", None), ("Moth", None)]),
        ("0017;Tern\n0021;Moth\n", [("Tern", "0017"), ("Moth", "0021")]),
        ("Tern,0017\nMoth,0021\n", [("Tern", "0017"), ("Moth", "0021")]),
        ("0017\n0021\n", [("0017", None), ("0021", None)]),
    ],
)
def test_a_list_without_headings_is_read_by_what_its_cells_are(tmp_path, text, people):
    assert [(each.name, each.number) for each in read(tmp_path, text).people] == people


def test_duplicates_are_left_out_and_told_with_their_line(tmp_path):
    found = read(tmp_path, "number,name\n0017,Tern\n\n0021,tern\n0017,Moth\n17,Brisk\n,\n")
    assert [each.name for each in found.people] == ["Tern", "Brisk"]
    told = {each.line: each.why for each in found.left_out}
    assert told[4] == "'tern' stands on line 2 already"
    assert told[5] == "'0017' stands on line 2 already"


def test_a_class_is_taken_from_the_flag_where_the_list_names_none(tmp_path):
    found = read(tmp_path, "name,class\nTern,second term\nMoth,\n", class_name="evening")
    assert [each.class_name for each in found.people] == ["second term", "evening"]


def test_a_list_of_nobody_is_told(tmp_path):
    for text in ("", "\n\n", "name,number\n"):
        with pytest.raises(NobodyInClassListError):
            read(tmp_path, text)


def test_a_file_that_is_no_text_is_told(tmp_path):
    (tmp_path / "list.xlsx").write_bytes(b"PK\x03\x04\xff\xfe\xa5")
    with pytest.raises(ClassListNotReadableError, match="UTF-8"):
        read_class_list(tmp_path / "list.xlsx")
    with pytest.raises(ClassListNotReadableError):
        read_class_list(tmp_path / "missing.csv")


@settings(deadline=None)
@given(contents=st.one_of(st.binary(max_size=300), st.text(max_size=200).map(str.encode)))
def test_any_bytes_give_people_or_a_refusal_of_ours(tmp_path_factory, contents):
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(contents)
    try:
        found = read_class_list(path)
    except BeadcheckError:
        return
    assert all(each.name.strip() for each in found.people)
