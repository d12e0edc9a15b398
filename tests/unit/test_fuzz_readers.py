"""Every reader on bytes that nobody should send: a value, or a refusal in one sentence of ours.

The short form of `tests/benchmarks/fuzz.py`, which goes on for as long as it is told; what that one
found stands in `fuzz_finds/`.
"""

import random
import time
from pathlib import Path

import pytest
from fuzz_readers import READERS, Reader, mutated, refused
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from beadcheck.errors.input_file import NotTomlError
from beadcheck.target.toml_table import read_toml

FINDS = sorted((Path(__file__).parent / "fuzz_finds").glob("*/*.bin"))
QUICK = sorted(set(READERS) - {"weld", "target", "backup", "photo"})
SLOW = ("target", "backup", "photo")
"""A tenth of a second for each input and more; a whole weld takes seconds, and is left to hours."""
FIND_S = 10.0


@pytest.mark.parametrize("find", FINDS, ids=lambda find: f"{find.parent.name}/{find.stem}")
def test_what_was_found_once_stays_mended(find: Path, tmp_path: Path) -> None:
    begun_s = time.process_time()
    refused(READERS[find.parent.name], find.read_bytes(), tmp_path)
    assert time.process_time() - begun_s < FIND_S


@pytest.mark.parametrize("name", QUICK)
@settings(
    max_examples=25,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(seed=st.integers(0, 2**32 - 1))
def test_changed_bytes_give_a_value_or_a_refusal(name: str, tmp_path: Path, seed: int) -> None:
    reader, rng = READERS[name], random.Random(seed)  # noqa: S311  # no secret
    refused(reader, mutated(reader.seeds(), rng), tmp_path)


@pytest.mark.parametrize("name", SLOW)
def test_changed_pixels_photos_and_back_ups_give_a_value_or_a_refusal(
    name: str, tmp_path: Path
) -> None:
    reader, rng = READERS[name], random.Random(5)  # noqa: S311  # no secret
    seeds = reader.seeds()
    done = [refused(reader, mutated(seeds, rng), tmp_path) for _ in range(6)]
    assert any(done)


def test_a_key_of_parts_without_end_is_named_and_never_begun(tmp_path: Path) -> None:
    path = tmp_path / "shop.toml"
    for begin in ("", "a = 1\n", "[", '"a b".'):
        path.write_text(f"{begin}{'a . ' * 200_000}a = 1", "utf-8")
        with pytest.raises(NotTomlError, match=r"shop\.toml, line [12].* too many parts"):
            read_toml(path)
    path.write_text("list = [" + "1.5, " * 100_000 + "]\nb.c.d.e = 'x. y. z.'", "utf-8")
    assert len(read_toml(path)[1]["list"]) == 100_000


def test_a_fault_is_no_refusal() -> None:
    """The looking itself would see one: a reader that stumbles, or refuses in two lines."""

    stumbles = Reader(read=lambda data, _: 1 // len(data), seeds=lambda: (b"",))
    with pytest.raises(ZeroDivisionError):
        refused(stumbles, b"", Path())

    def two_lines(_: bytes, __: Path) -> None:
        raise NotTomlError("shop.toml", "one\ntwo")

    with pytest.raises(AssertionError, match="more than one line"):
        refused(Reader(read=two_lines, seeds=lambda: (b"",)), b"", Path())
