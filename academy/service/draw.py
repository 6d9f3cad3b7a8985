"""A scenario drawn for a reader, without a database (``academy draw``)."""

import json
from dataclasses import asdict
from typing import Any

from academy.language import Reader
from academy.service import asking
from academy.service.making import family, make
from academy.service.shown_facts import fact_rows


def draw(key: str, seed: int, reader: Reader) -> dict[str, Any]:
    """Facts, parts and digest of a family's scenario for a seed, as plain data.

    Raises NotFound, ContentError.
    """
    content, draft = family(key), make(key, seed)
    payload = json.loads(draft.payload)
    facts = payload["facts"]
    pairs = zip(content.parts, payload["parts"], strict=True)
    views = [
        asking.part_view(index, asked, part, facts, reader)
        for index, (asked, part) in enumerate(pairs, start=1)
    ]
    return {
        "family": key,
        "seed": seed,
        "digest": draft.digest,
        "title": content.title.for_language(reader.language),
        "story": content.story.for_language(reader.language),
        "facts": [
            {"label": row.label, "value": row.value}
            for row in fact_rows(content, facts, reader)
        ],
        "parts": [_plain(view) for view in views],
    }


def _plain(view: Any) -> dict[str, Any]:
    return {key: value for key, value in asdict(view).items() if value}
