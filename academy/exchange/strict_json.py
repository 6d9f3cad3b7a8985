"""JSON read strictly, and written in one way only.

Of two equal names in an object most readers silently take the second: here it is
refused, as are NaN and what is nested without end.
"""

import json
from collections import Counter
from typing import Any, NoReturn

from academy.errors import NotUnderstood


def text_of(value: object) -> str:
    """The one JSON text of a value: names sorted, no spaces, no NaN."""
    return json.dumps(
        value,
        ensure_ascii=False,
        allow_nan=False,
        sort_keys=True,
        separators=(",", ":"),
    )


def read(raw: bytes) -> Any:
    """The value of a JSON file; raises NotUnderstood for broken, doubled or endless."""
    try:
        value = json.loads(
            raw.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_number
        )
        text_of(value).encode()  # what cannot be written again was no JSON: half a sign
        return value
    except (ValueError, RecursionError) as found:
        raise NotUnderstood("not_json") from found


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) < len(pairs):
        times = Counter(name for name, _value in pairs)
        raise NotUnderstood("name_twice", text=times.most_common(1)[0][0][:60])
    return made


def _no_number(text: str) -> NoReturn:
    raise ValueError(text)
