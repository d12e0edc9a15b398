"""The page lists the places to look at under the numbers that they have in the picture."""

import re
from pathlib import Path

from playwright.sync_api import expect

from .conftest import Visit, choose, measure

UNDERCUT = Path(__file__).parents[2] / "samples" / "plate-smaw-undercut.jpg"
VERDICTS = re.compile(r"defect|reject|fail|accept|fault|repair", re.IGNORECASE)


def test_the_places_to_look_at_are_listed_with_their_numbers(visit: Visit) -> None:
    page = visit("phone")
    choose(page, UNDERCUT)
    measure(page)
    listed = page.locator(".bc-look-here")
    expect(listed).to_contain_text("Look here: dark line along the left toe")
    expect(listed).to_contain_text("What it is, an inspector says.")
    numbers = [int(each) for each in listed.locator(".bc-look-number").all_inner_texts()]
    assert sorted(numbers) == list(range(1, len(numbers) + 1))
    assert not VERDICTS.search(listed.inner_text())
    expect(page.get_by_role("heading", name="Look here: candidates only")).to_be_visible()
    page.get_by_text("One file alone").click()
    expect(page.get_by_role("link", name="Save indications.csv")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
