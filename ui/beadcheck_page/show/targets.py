"""Links that print a target."""

PAPERS = (("a4", "A4"), ("letter", "Letter"))


def target_links(outside_diameter_mm: float | None) -> str:
    """Markup of the links to the printable targets; the strip is made for the entered pipe."""
    cards = "".join(
        _link(f"/targets/{kind}?paper={paper}", f"{words}, {name}")
        for kind, words in (("card", "Card for plate"), ("strips", "Two strips for plate"))
        for paper, name in PAPERS
    )
    if outside_diameter_mm is None:
        strip = (
            '<p class="bc-source">For a strip that wraps round a pipe, choose “Pipe” and its size '
            "under “Coupon and pass” first.</p>"
        )
    else:
        strip = "".join(
            _link(
                f"/targets/pipe?paper={paper}&amp;outside_diameter_mm={outside_diameter_mm:.2f}",
                f"Strip for {outside_diameter_mm:.1f} mm pipe, {name}",
            )
            for paper, name in PAPERS
        )
    return (
        "<p>Print at 100 %, never “fit to page”. Measure the check bar with a steel rule, and "
        f'enter its length under “Coupon and pass”.</p><div class="bc-links">{cards}{strip}</div>'
    )


def _link(address: str, words: str) -> str:
    return f'<a class="bc-button" download href="{address}">{words}</a>'
