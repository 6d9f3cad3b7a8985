"""A stored part turned into what a person reads, in their words and units."""

from collections.abc import Callable, Mapping
from typing import Any

from academy import units
from academy.catalog import directions, procedures, topics
from academy.catalog.families import Asked
from academy.language import Reader, unit_word
from academy.scenarios import conditions
from academy.scenarios.facts import Facts
from academy.service import (
    find_cause,
    find_leak,
    go_stop,
    inspection,
    one_change,
    read_stubble,
)
from academy.service.shown_facts import IN_A_SUM, KIND_OF, SUMMED, capital
from academy.service.views import ControlView, PartView


def _typed(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def control_view(facts: Facts, name: str, reader: Reader) -> ControlView:
    """One control in the reader's unit; numbers as plain text, ready to type."""
    control = conditions.range_of(facts, name)
    kind = units.KINDS[KIND_OF[name]]
    label, decimals = kind.shown(reader.units)
    low, high, step = control.si()
    own = len(f"{control.step:g}".partition(".")[2]) if label == control.unit else 0
    if f"as_found.{name}" in facts:
        value, unit = facts[f"as_found.{name}"]
        found = float(units.to_si(float(value), unit))
    else:
        found = float(units.to_si(control.usual, control.unit))
    shown = [float(units.from_si(each, label)) for each in (low, high, found)]
    within = IN_A_SUM if f"as_found.{name}" in SUMMED else 1.0
    numbers = [
        _typed(each, max(kind.decimals(reader.units, each, share), own))
        for each, share in zip(shown, (1.0, 1.0, within), strict=True)
    ]
    one = float(units.from_si(step, label)) - float(units.from_si(0.0, label))
    return ControlView(
        name=name,
        label=capital(control.name.for_language(reader.language)),
        unit=label,
        unit_word=unit_word(label, reader.language),
        low=numbers[0],
        high=numbers[1],
        step=_typed(one, max(decimals, own) + 1),
        as_found=numbers[2],
        ends=(min(shown[0], float(numbers[0])), max(shown[1], float(numbers[1]))),
    )


def number_units(kind: str, reader: Reader) -> tuple[tuple[str, str], ...]:
    """Unit labels and words of a number; the reader's own first."""
    shown = units.KINDS[kind]
    own, other = (shown.us, shown.metric)
    if reader.units == "metric":
        own, other = other, own
    labels = dict.fromkeys((own, other))
    return tuple((label, unit_word(label, reader.language)) for label in labels)


def _direction(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    del facts
    setting, language = directions.load(part["setting"]), reader.language
    ways = [(w, getattr(setting, w).for_language(language)) for w in directions.WAYS]
    sign = setting.sign(part["sign"])
    return {"options": tuple(ways), "sign": sign.text.for_language(language)}


def _order(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    del facts
    steps = procedures.known()[part["procedure"]].steps
    texts = {step.key: step.text.for_language(reader.language) for step in steps}
    return {"steps": tuple((key, texts[key]) for key in part["shown"])}


def _set_up(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    shown = (control_view(facts, name, reader) for name in part["controls"])
    return {"controls": tuple(shown)}


def _number(part: Mapping[str, Any], facts: Facts, reader: Reader) -> dict[str, Any]:
    del facts
    return {"units": number_units(part["kind_of"], reader)}


_ASKED: Mapping[str, Callable[[Mapping[str, Any], Facts, Reader], dict[str, Any]]] = {
    "set-up": _set_up,
    "direction": _direction,
    "number": _number,
    "order": _order,
    "one-change": one_change.asked,
    "find-the-leak": find_leak.asked,
    "inspection": inspection.asked,
    "read-the-stubble": read_stubble.asked,
    "go-or-stop": go_stop.asked,
    "find-the-cause": find_cause.asked,
}


def part_view(
    index: int, asked: Asked, part: Mapping[str, Any], facts: Facts, reader: Reader
) -> PartView:
    """One part as it is asked."""
    language = reader.language
    return PartView(
        index=index,
        kind=part["kind"],
        topic_name=topics.load()[part["topic"]].name.for_language(language),
        prompt=asked.prompt.for_language(language),
        **_ASKED[part["kind"]](part, facts, reader),
    )
