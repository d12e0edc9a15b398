"""What is said of what a device remembers."""

from beadcheck_page.limit_choices import LimitChoices
from beadcheck_page.remembered import Remembered
from beadcheck_page.show.markup import text


def remembered_here(device: Remembered, choices: LimitChoices) -> str:
    """Markup of what this device remembers; "" where it remembers nothing."""
    titles = {name: title for title, name in choices.of(device.limits_of)}
    said = [
        *([f"<strong>{text(device.person)}</strong>"] if device.person else []),
        *([text(f"lengths in {device.unit.value}")] if device.unit else []),
        *([text(titles[device.limits])] if device.limits in titles else []),
    ]
    return f"<p>This device remembers: {'; '.join(said)}.</p>" if said else ""
