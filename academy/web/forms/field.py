"""The form of a field calculator, made from what its content file asks."""

from collections.abc import Mapping, Sequence

from wtforms import Form
from wtforms.fields import SelectChoice

from academy.catalog import calculators, grains
from academy.catalog.calculators import Asked
from academy.language import marked
from academy.service.field_calculators import asked_crops, countable
from academy.units import System
from academy.web.forms.fields import ChoiceField, QuantityField
from academy.web.visit import SYSTEMS, reader

Sent = Mapping[str, str]


def _chosen_crop(sent: Sent) -> str:
    known = countable()
    return sent["crop"] if sent.get("crop") in known else known[0]


def _system(sent: Sent) -> System:
    """The unit system that the form was shown in."""
    named = sent.get("units")
    return "us" if named == "us" else "metric" if named in SYSTEMS else reader().units


def _crop_field(crops: Sequence[str]) -> ChoiceField:
    language = reader().language
    named = [
        SelectChoice(key, grains.of(key).name.for_language(language)) for key in crops
    ]
    return ChoiceField(marked("Crop"), choices=named, default=named[0].value)


def _field(asked: Asked, system: System, bushel: float) -> QuantityField:
    return QuantityField(
        getattr(asked.name, reader().language),
        kind=asked.kind,
        bounds=asked.bounds(bushel),
        system=system,
        bushel=bushel,
        start=asked.start.si(bushel)[1] if asked.start else None,
    )


def calculator_form(key: str, sent: Sent, formdata: object) -> Form:
    """The form of calculator ``key``, filled in with what was sent, if anything."""
    bushel = grains.of(_chosen_crop(sent)).bushel
    asked = calculators.load()[key]
    fields: dict[str, object] = {}
    if crops := asked_crops(key):
        fields["crop"] = _crop_field(crops)  # made first, so it stands first
    for name, one in asked.items():
        fields[name] = _field(one, _system(sent), bushel)
    made: type[Form] = type("CalculatorForm", (Form,), fields)
    return made(formdata)


def hints(key: str) -> dict[str, str]:
    """The hint under each field: what to measure, and an example."""
    language = reader().language
    return {
        name: getattr(one.hint, language) if one.hint else ""
        for name, one in calculators.load()[key].items()
    }
