"""The result as JSON text, back from it, and its JSON Schema."""

import json
import re
from functools import cache
from typing import Any, Final

from pydantic import TypeAdapter, ValidationError

from beadcheck.errors.result_file import NotAResultError, WrongResultError
from beadcheck.result.records import FORMAT, Result

SCHEMA_DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
NUMBERS_ONLY: Final = re.compile(r"\[\n(?:[-+0-9.eEnul,\s]|\[[-+0-9.eE,\s]*\])*\]")
"""A list that holds numbers, points and nulls alone. No text within quotes holds a real line break,
so that none can match."""
SCHEMA_ID: Final = "urn:beadcheck:result:1"


@cache
def _adapter() -> TypeAdapter[Result]:
    return TypeAdapter(Result)


def result_to_json(result: Result) -> str:
    """Result as JSON text in the format ``beadcheck-result/1``.

    Raises
    ------
    ValueError
        A number is not finite: what is missing must be null, never NaN.
    """
    written = _adapter().dump_python(result, by_alias=True)
    text = json.dumps(written, ensure_ascii=False, allow_nan=False, indent=2)
    return NUMBERS_ONLY.sub(_on_one_line, text) + "\n"


def _on_one_line(numbers: re.Match[str]) -> str:
    """Points and heights as one line: a profile has hundreds."""
    return " ".join(numbers[0].split()).replace("[ ", "[").replace(" ]", "]")


def result_from_json(text: str) -> Result:
    """Result from JSON text.

    Keys that this version does not know are ignored, so that a file of a later version with more
    keys can still be read; a file of another format is refused.

    Raises
    ------
    NotAResultError
        The text is no JSON, or of another format.
    WrongResultError
        A key is missing or has a value of the wrong kind.
    """
    try:
        written = json.loads(text)
    except (ValueError, RecursionError):
        raise NotAResultError("it is no JSON text") from None
    if not isinstance(written, dict) or written.get("format") != FORMAT:
        raise NotAResultError(f"it does not say that its format is {FORMAT}")
    try:
        return _adapter().validate_json(text)
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        place = ".".join(str(part) for part in first["loc"]) or "the result"
        message = first["msg"]
        raise WrongResultError(place, message[:1].lower() + message[1:]) from None


def result_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of what `result_to_json` writes."""
    schema = _adapter().json_schema(by_alias=True, mode="serialization")
    return {
        "$schema": SCHEMA_DIALECT,
        "$id": SCHEMA_ID,
        **schema,
        "title": f"Result of one measurement, format {FORMAT}",
    }
