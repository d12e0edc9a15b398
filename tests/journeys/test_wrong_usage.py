"""Wrong usage of the installed command is one sentence and exit code 2."""

import pytest


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["weigh"], "weigh"),
        (["measure", "missing.jpg", "--out", "out"], "'missing.jpg'"),
        (["measure", "x.jpg", "--plate", "--pipe", "NPS 8"], "cannot be given together"),
    ],
)
def test_it_is_said_in_one_sentence_and_nothing_is_written(run, tmp_path, arguments, words):
    if "x.jpg" in arguments:
        (tmp_path / "x.jpg").write_bytes(b"never read")
    before = set(tmp_path.iterdir())
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.splitlines()) == 1
    assert words in done.stderr
    assert set(tmp_path.iterdir()) == before
