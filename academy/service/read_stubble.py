"""Read the stubble: the engine draws what a fault leaves behind; name the cause.

Across the width, and along the travel. Parts stored before the second picture hold one
``trace`` and are shown by it.
"""

from collections.abc import Mapping
from dataclasses import asdict, replace
from typing import Any

from academy import units
from academy.catalog import borderline
from academy.catalog.families import Asked
from academy.drawing.stubble_across import StubbleView, stubble_across
from academy.engine.conditions import Settings
from academy.grading import options
from academy.grading.mark import Mark
from academy.language import Reader, gettext, marked, unit_word
from academy.records.queries.answers import Answer
from academy.scenarios import conditions, faulty, stubble
from academy.scenarios.facts import Facts
from academy.service import told_apart
from academy.service.pictures import picture
from academy.service.problems import Made, rounded
from academy.service.views import Picture

_ACROSS = {
    "title": marked("Stubble across the width, seen from behind"),
    "description": marked(
        "Height of the stubble at every place from the left end to the right."
    ),
    "x": marked("from the left end"),
    "place": marked("From the left"),
}
_ALONG = {
    "title": marked("Stubble along the travel, seen from the side"),
    "description": marked(
        "Height of the stubs one behind the other in the middle of the pass."
    ),
    "x": marked("along the travel"),
    "place": marked("Along the travel"),
}
_SEEN = {
    "y": marked("stubble height"),
    "mean": marked("Mean height"),
    "range": marked("Lowest to highest"),
    "seen": marked("What else one sees"),
    "cut": marked("cut stems"),
    "ragged": marked("torn stems"),
    "bunched": marked("stems bunched and cut long"),
    "standing": marked("stems left standing"),
    "soil": marked("scraped soil"),
    "pushed": marked("soil pushed by the bar"),
    "chaff": marked("chaff lies here"),
    "nothing": marked("nothing"),
}


def made(asked: Asked, facts: Facts, place: int) -> Made | None:
    """The part, or None when the picture could be taken for another fault's."""
    told = told_apart.judged(facts, place, stubble.names())
    if told is None or told.flips > options.MOST_FLIPS:
        return None
    stored = told_apart.kept(asked, facts, place, told)
    drawn = stubble.traces(faulty.pass_of(facts), stored["key"], place)
    for name, trace in zip(("across", "along"), drawn, strict=True):
        stored[name] = asdict(trace)
    par = borderline.load().par_of(asked.kind)
    return Made(stored, par, rounded(1 / len(stored["offered"])))


def _words(
    told: Mapping[str, str], reader: Reader, height: str, width: str
) -> dict[str, str]:
    said = {**told, **_SEEN}
    words = {key: gettext(text, reader.language) for key, text in said.items()}
    high, wide = (unit_word(label, reader.language) for label in (height, width))
    for key, unit in (("x", wide), ("place", wide), ("y", high), ("mean", high)):
        words[key] = f"{words[key]} ({unit})"
    return words


def _picture(
    trace: Mapping[str, Any],
    length: float,
    told: Mapping[str, str],
    reader: Reader,
    ids: str,
) -> Picture:
    height, decimals = units.KINDS["short_length"].shown(reader.units)
    width, _ = units.KINDS["length"].shown(reader.units)
    tops = [float(units.from_si(each, height)) for each in trace["heights"]]
    wide = float(units.from_si(length, width))
    words = _words(told, reader, height, width)
    view = StubbleView(width=wide, **{**trace, "heights": tops})
    return picture(stubble_across(view, words, decimals, ids), words["title"])


def stubble_pictures(
    part: Mapping[str, Any], facts: Facts, reader: Reader, ids: str
) -> tuple[Picture, ...]:
    """The drawn stubble with its tables; neither names the fault."""
    width = float(conditions.machine_of(facts).width)
    rows = [(part.get("across") or part["trace"], width, _ACROSS, "stubble")]
    if "along" in part:
        rows.append((part["along"], stubble.LENGTH, _ALONG, "stubs"))
    return tuple(
        _picture(trace, length, told, reader, f"{ids}-{name}")
        for trace, length, told, name in rows
    )


def fault_picture(
    facts: Facts, settings: Settings, key: str, reader: Reader, ids: str
) -> Picture:
    """The stubble across the width that a fault leaves at some settings."""
    one = replace(faulty.pass_of(facts), settings=settings)
    across, _ = stubble.traces(one, key, 0)
    width = float(one.machine.width)
    return _picture(asdict(across), width, _ACROSS, reader, f"{ids}-stubble")


def asked(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    """The shown fields of the part."""
    return {
        "pictures": stubble_pictures(part, facts, reader, "asked"),
        "options": told_apart.options(part, reader),
    }


def mark(part: Mapping[str, Any], facts: Facts, answer: Mapping[str, Any]) -> Mark:
    """Right or wrong; raises NotUnderstood for what was never offered."""
    return told_apart.mark(part, facts, answer)


def explained(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    """The shown fields of the answered part."""
    chosen, names = kept.answer["choice"], stubble.names()
    told = told_apart.explained(part, facts, chosen, names, reader, ids)
    drawn = stubble_pictures(part, facts, reader, ids)
    return told | {"pictures": (*drawn, *told["pictures"])}
