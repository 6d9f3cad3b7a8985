"""What state the parts of the header can be set to on the try-out bench."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields
from typing import Any

from academy import units
from academy.catalog import headers, mouths, parts, stands
from academy.catalog.evidence import Named
from academy.engine.whole_state import State
from academy.language import Language, marked, plain_number
from academy.scenarios import whole
from academy.scenarios.facts import Facts
from academy.service.shown_facts import capital

PARTS = tuple(field.name for field in fields(State))
TITLES = {
    "stand": marked("Stems and growth"),
    "knife": marked("Knife"),
    "reel_sections": marked("Reel arms"),
    "ends": marked("End dividers"),
    "wings": marked("Wings"),
    "bar": marked("Bar and frame"),
    "flow": marked("Belts, feed drum and pass"),
    "hour": marked("Waiting past ripeness"),
    "threshing": marked("Rotor and side slope"),
}
# asked of a person beneath the header or of a service book, not while cutting
_LEFT_OUT = {
    ("wings", "task"),
    ("wings", "wing_props"),
    ("flow", "belt_age"),
    ("flow", "since_tension"),
    ("knife", "run_time"),
    ("hour", "hour"),  # chosen on top
    ("hour", "day"),
}
_KIND_OF_UNIT = {
    "1": "ratio",
    "%": "share",
    "mm": "gap",
    "N": "force",
    "in": "short_length",
    "deg": "angle",
    "h": "time",
    "day": "days",
    "min": "time",
    "rpm": "reel_speed",
    "degF": "temperature",
    "1/m^2": "count_density",
    "kg/m^2": "residue",
}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure to type: name, kind, bounds and start in SI."""

    name: str
    label: str
    kind: str
    low: float
    high: float
    start: float


@dataclass(frozen=True, slots=True)
class Kinds:
    """One thing to choose from kinds: keys and words, and the key it starts with."""

    name: str
    label: str
    offered: tuple[tuple[str, str], ...]
    start: str


def field_name(part: str, name: str) -> str:
    """The name of a form's field for a figure or kind of a part."""
    return f"{part}__{name}"


def fact_of(field: str) -> str:
    """The fact that a form's field tells."""
    return whole.PREFIX + field.replace("__", ".")


def chosen(field: str, value: str) -> Any:
    """What a chosen kind is as a fact: its key, or the figure of a step."""
    if field == field_name("flow", "drum_rate"):
        return [float(value.replace(",", ".")), "rpm"]
    return value


def _entries(part: str, crop: str) -> Mapping[str, Named]:
    return stands.figures(crop) if part == "stand" else parts.load(part).state


def _stepped(facts: Facts, part: str, name: str) -> bool:
    """Whether it is set in a few steps, so that one chooses instead of typing."""
    drum = headers.load(facts["header"]).parts.drum_speed
    return (part, name) == ("flow", "drum_rate") and drum == "stepped"


def figures(facts: Facts, part: str, language: Language) -> Iterator[Figure]:
    """What can be typed of a part on the header of the facts."""
    start = getattr(whole.state_of(facts), part)
    for name, entry in _entries(part, facts["crop"]).items():
        kind = _KIND_OF_UNIT.get(entry.unit)
        if kind is None or (part, name) in _LEFT_OUT or _stepped(facts, part, name):
            continue
        low, _, high = entry.si()
        label = capital(entry.called(language))
        value = float(getattr(start, name))
        low, high = min(low, value), max(high, value)  # a dry hour may pass the usual
        yield Figure(field_name(part, name), label, kind, low, high, value)


def kinds(facts: Facts, part: str, language: Language) -> Iterator[Kinds]:
    """What can be chosen of a part on the header of the facts."""
    start = getattr(whole.state_of(facts), part)
    for name, choice in parts.load(part).choices.items():
        if (part, name) not in _LEFT_OUT:
            offered = [(k, w.for_language(language)) for k, w in choice.kinds.items()]
            label = capital(choice.name.for_language(language))
            chosen = getattr(start, name)
            yield Kinds(field_name(part, name), label, tuple(offered), chosen)
    if _stepped(facts, part, "drum_rate"):
        yield _drum(facts, language)


def _drum(facts: Facts, language: Language) -> Kinds:
    """The steps of a stepped feed drum."""
    rates = mouths.drum_speeds(headers.load(facts["header"])).rates()
    told = [plain_number(float(units.from_si(r, "rpm")), language) for r in rates]
    name = parts.load("flow").state["drum_rate"].called(language)
    offered = tuple((each, f"{each} rpm") for each in told)
    return Kinds(field_name("flow", "drum_rate"), capital(name), offered, offered[0][0])
