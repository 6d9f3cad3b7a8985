"""What is wrong with an entry of a content file, in plain English.

Their Spanish stands beside the same English in ``content/locale/problems.toml``; the
slots ``{…}`` are what came and what is meant.
"""

import json
import re
from collections.abc import Mapping
from typing import Any

LONGEST = 40  # characters of what came
NO_SUCH = "nothing of that name belongs here; look for a slip of the pen"
TEXT = 'a text in quotation marks is needed, such as "reel"; this came: {got}'
WHOLE = "a whole number is needed; this came: {got}"
NUMBER = "a number is needed, with a point and without a unit; this came: {got}"
YES_NO = "true or false is needed; this came: {got}"
LIST = 'a list is needed, such as ["flex35", "flex40"]; this came: {got}'
TABLE = "a table of names and values is needed; this came: {got}"

PLAIN: Mapping[str, str] = {
    "missing": "it is missing; write it",
    "extra_forbidden": NO_SUCH,
    "literal_error": "one of these is needed: {expected}; this came: {got}",
    "string_type": TEXT,
    "int_type": WHOLE,
    "int_from_float": WHOLE,
    "float_type": NUMBER,
    "finite_number": NUMBER,
    "bool_type": YES_NO,
    "tuple_type": LIST,
    "list_type": LIST,
    "dict_type": TABLE,
    "model_type": TABLE,
    "model_attributes_type": TABLE,
    "string_too_short": "it is empty; write something",
    "too_short": "it has too few entries: {actual_length}; needed: {min_length}",
    "too_long": "it has too many entries: {actual_length}; needed: {max_length}",
    "greater_than": "it must be above {gt}; this came: {got}",
    "greater_than_equal": "it must be {ge} or more; this came: {got}",
    "less_than": "it must be below {lt}; this came: {got}",
    "less_than_equal": "it must be {le} or less; this came: {got}",
}


def _got(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False, default=str)
    return text if len(text) <= LONGEST else f"{text[:LONGEST]}…"


def plain(wrong: Mapping[str, Any]) -> str:
    """A validator's finding (type, msg, input, ctx) in plain words.

    What a rule of ours says stays as it is; what nobody foresaw keeps its own words.
    """
    if wrong["type"] == "value_error":
        return str(wrong["ctx"]["error"])
    found = dict(wrong.get("ctx", {}))
    if "expected" in found:
        found["expected"] = ", ".join(re.findall(r"'([^']*)'", found["expected"]))
    template = PLAIN.get(wrong["type"])
    if template is None:
        return str(wrong["msg"])
    return template.format(**found, got=_got(wrong.get("input")))


def place(loc: tuple[int | str, ...]) -> str:
    """Where an entry stands, such as ``parts #2.topic``; places count from 1."""
    told = "".join(f" #{s + 1}" if isinstance(s, int) else f".{s}" for s in loc)
    return told.removeprefix(".").strip() or "file"
