"""Links that print a target."""

PAPERS = (("a4", "A4"), ("letter", "Letter"))


def target_links(strip: tuple[float, bool] | None) -> str:
    """Markup of the links to the printable targets; the strip is made for the entered pipe.

    Parameters
    ----------
    strip
        Diameter in mm that it is made for, and whether it lies inside the pipe.
    """
    cards = "".join(
        _link(f"/targets/{kind}?paper={paper}", f"{words}, {name}")
        for kind, words in (("card", "Card for plate"), ("strips", "Two strips for plate"))
        for paper, name in PAPERS
    )
    if strip is None:
        links = (
            '<p class="bc-source">For a strip that wraps round a pipe, choose “Pipe” and its size '
            "under “Coupon and pass” first; for one inside it, its schedule or bore too.</p>"
        )
    else:
        diameter_mm, inside = strip
        kind, words = ("bore", "bore, inside") if inside else ("pipe", "pipe")
        links = "".join(
            _link(
                f"/targets/{kind}?paper={paper}&amp;diameter_mm={diameter_mm:.2f}",
                f"Strip for {diameter_mm:.1f} mm {words}, {name}",
            )
            for paper, name in PAPERS
        )
    return (
        "<p>Print at 100 %, never “fit to page”. Measure the check bar with a steel rule, and "
        f'enter its length under “Coupon and pass”.</p><div class="bc-links">{cards}{links}</div>'
    )


def _link(address: str, words: str) -> str:
    return f'<a class="bc-button" download href="{address}">{words}</a>'
