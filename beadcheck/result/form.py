"""What all records of the format have in common."""

from typing import Final

from pydantic import ConfigDict

PixelPoint = tuple[float, float]
"""x and y in the upright photo, px."""

PlacePoint = tuple[float, float]
"""x and y on the bare metal in the target's own frame, mm."""

RECORD: Final = ConfigDict(
    allow_inf_nan=False,
    json_schema_serialization_defaults_required=True,
    strict=True,
    use_attribute_docstrings=True,
)
