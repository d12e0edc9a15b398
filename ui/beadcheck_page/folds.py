"""Parts of the page that a press folds and unfolds, and the package's own files."""

from importlib import resources

import gradio as gr


def asset(name: str) -> str:
    """Text of one of the package's own files."""
    return (resources.files("beadcheck_page") / "assets" / name).read_text(encoding="utf-8")


def fold(label: str, part: str) -> gr.HTML:
    """Draw a button that folds and unfolds what the style sheet calls its part."""
    return gr.HTML(
        label,
        html_template=asset("fold.html"),
        js_on_load=asset("fold.js"),
        open="false",
        part=f"{part}-fields",
        elem_id=part,
    )
