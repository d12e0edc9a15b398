"""The printed sheet, as it is measured and again from the log, by the installed command."""

from pypdf import PdfReader

SAID = ("Tern", "P8-17", "weld width", "For the inspector", "qualified inspector")


def words_of(path) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(path).pages)


def test_a_sheet_is_printed_with_the_result_and_again_from_the_log(run, tmp_path, samples):
    photo = samples / "plate-gtaw-pulsed.jpg"
    named = ("--person", "Tern", "--coupon", "P8-17")
    done = run("measure", photo, "--save", *named, "--sheet", "now.pdf", "--paper", "letter")
    assert done.returncode == 0, done.stderr
    again = run("log", "sheet", "1", "--out", "later.pdf")
    assert again.returncode == 0, again.stderr
    now, later = words_of(tmp_path / "now.pdf"), words_of(tmp_path / "later.pdf")
    for said in SAID:
        assert said in now
        assert said in later
    assert "6.40 ± 0.27 mm" in now
    assert "6.40 ± 0.27 mm" in later
    (page, *_) = PdfReader(tmp_path / "now.pdf").pages
    assert [float(side) for side in page.mediabox[2:]] == [612.0, 792.0]
    assert "Since" not in now
    _a_second_run_says_what_changed_since_the_first_on_its_sheet_too(run, tmp_path, photo)


def _a_second_run_says_what_changed_since_the_first_on_its_sheet_too(run, tmp_path, photo):
    named = ("--person", "Tern", "--save", "--coupon", "P8-18")
    done = run("measure", photo, *named, "--sheet", "second.pdf")
    assert done.returncode == 0, done.stderr
    since, alike = "Since Tern's last run (P8-17, ", "No more than repeat measurement alone would"
    assert since in done.stderr
    assert alike in done.stderr
    again = run("log", "sheet", "2", "--out", "again.pdf")
    assert again.returncode == 0, again.stderr
    for name in ("second.pdf", "again.pdf"):
        assert since in words_of(tmp_path / name)
        assert alike in words_of(tmp_path / name)
    assert len(PdfReader(tmp_path / "second.pdf").pages) <= 2


def test_a_sheet_that_cannot_be_written_is_said_in_one_sentence(run, samples):
    photo = samples / "plate-gtaw-pulsed.jpg"
    done = run("measure", photo, "--sheet", "no-folder/sheet.pdf")
    assert done.returncode != 0
    assert "cannot be written" in done.stderr
    assert "Traceback" not in done.stderr
    missing = run("log", "sheet", "7", "--out", "sheet.pdf")
    assert missing.returncode != 0
    assert "7" in missing.stderr
