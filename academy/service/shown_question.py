"""A question just as it was shown, as plain JSON and back.

It holds what the page holds and nothing else: no seed, no key, no par.
"""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from academy.language import Reader
from academy.service.views import (
    ControlView,
    FactRow,
    PartView,
    Picture,
    Question,
    Table,
)

_SEEN = ("scenario_id", "title", "story", "facts", "parts")


def plain(question: Question, reader: Reader) -> dict[str, Any]:
    """The question as plain JSON, with the language and units it was shown in."""
    told = asdict(question)
    kept = {name: told[name] for name in _SEEN}
    return kept | {"language": reader.language, "units": reader.units}


def is_for(shown: Mapping[str, Any], reader: Reader) -> bool:
    """Whether it was shown in this reader's language and units."""
    return (shown["language"], shown["units"]) == (reader.language, reader.units)


def question(shown: Mapping[str, Any]) -> Question:
    """The question back from its JSON."""
    return Question(
        scenario_id=shown["scenario_id"],
        family="",
        title=shown["title"],
        story=shown["story"],
        facts=tuple(FactRow(**one) for one in shown["facts"]),
        parts=tuple(_part(one) for one in shown["parts"]),
        answered=False,
    )


def _part(told: Mapping[str, Any]) -> PartView:
    return PartView(
        index=told["index"],
        kind=told["kind"],
        topic_name=told["topic_name"],
        prompt=told["prompt"],
        sign=told["sign"],
        controls=tuple(ControlView(**one) for one in told["controls"]),
        options=tuple((value, label) for value, label in told["options"]),
        units=tuple((value, label) for value, label in told["units"]),
        steps=tuple((value, label) for value, label in told["steps"]),
        findings=tuple((key, name, reads) for key, name, reads in told["findings"]),
        pictures=tuple(_picture(one) for one in told["pictures"]),
        tables=tuple(_table(one) for one in told["tables"]),
    )


def _picture(told: Mapping[str, Any]) -> Picture:
    return Picture(
        told["svg"], told["title"], told["description"], _table(told["table"])
    )


def _table(told: Mapping[str, Any]) -> Table:
    rows = tuple(tuple(row) for row in told["rows"])
    return Table(told["caption"], tuple(told["head"]), rows)
