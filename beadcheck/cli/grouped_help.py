"""Help that lists many options under headings."""

from typing import Any

from typer.core import TyperCommand


class GroupedCommand(TyperCommand):
    """A command whose help puts each option under the heading that it names.

    Typer itself does so with rich only, which takes longer to load than the whole of a help text.
    """

    def format_options(self, ctx: Any, formatter: Any) -> None:  # typer hides the types
        """Write a list for each heading, in the order in which the command names its options."""
        sections: dict[str, list[tuple[str, str]]] = {}
        for param in self.get_params(ctx):
            record = param.get_help_record(ctx)
            if record is not None:
                plain = "Arguments" if param.param_type_name == "argument" else "Options"
                heading = getattr(param, "rich_help_panel", None) or plain
                sections.setdefault(heading, []).append(record)
        for heading, records in sections.items():
            with formatter.section(heading):
                formatter.write_dl(records)
