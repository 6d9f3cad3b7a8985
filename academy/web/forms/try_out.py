"""The form of the try-out bench: choices on top, then a figure for everything."""

from collections.abc import Iterator, Mapping
from typing import Any

from wtforms import Form
from wtforms.fields import SelectChoice

from academy.catalog import crops
from academy.language import marked
from academy.service import bench_choice
from academy.service.bench_choice import Choice
from academy.service.bench_state import Figure, Kinds
from academy.units import System
from academy.web.forms.fields import ChoiceField, QuantityField
from academy.web.visit import SYSTEMS, reader

_LABELS = {
    "crop": marked("Crop"),
    "header": marked("Header"),
    "ground": marked("Ground"),
    "carried": marked("Carried"),
    "day": marked("Day"),
    "hour": marked("Hour"),
}


def choice_form(chosen: Choice) -> Form:
    """Crop, header, ground and what carries the header."""
    fields = {
        name: ChoiceField(
            _LABELS[name],
            choices=[SelectChoice(key, words) for key, words in offered],
            default=getattr(chosen, name),
        )
        for name, offered in bench_choice.choices(reader().language).items()
    }
    made: type[Form] = type("ChoiceForm", (Form,), fields)
    return made()


def _quantity(one: Figure, system: System, bushel: float) -> QuantityField:
    return QuantityField(
        one.label,
        kind=one.kind,
        bounds=(one.low - _slack(one.low), one.high + _slack(one.high)),
        system=system,
        bushel=bushel,
        start=one.start,
        ends=(one.low, one.high),
    )


def _kinds(one: Kinds) -> ChoiceField:
    offered = [SelectChoice(key, words) for key, words in one.offered]
    return ChoiceField(one.label, choices=offered, default=one.start)


def _fields(chosen: Choice, system: System) -> Iterator[tuple[str, Any]]:
    bushel, language = crops.load(chosen.crop).bushel, reader().language
    for one in bench_choice.figures(chosen, language):
        yield one.name, _quantity(one, system, bushel)
    for part in bench_choice.parts_of(chosen, language):
        yield from ((kind.name, _kinds(kind)) for kind in part.kinds)
        yield from ((f.name, _quantity(f, system, bushel)) for f in part.figures)


def bench_form(chosen: Choice, sent: Mapping[str, str], formdata: object) -> Form:
    """A figure for each condition and control, and the state of each part."""
    named = sent.get("units")
    system: System = reader().units
    if named in SYSTEMS:
        system = "us" if named == "us" else "metric"
    made: type[Form] = type("BenchForm", (Form,), dict(_fields(chosen, system)))
    return made(formdata)


def _slack(end: float) -> float:
    """Ends are shown rounded; what is shown may be typed."""
    return 0.02 * abs(end)
