"""The form of the try-out bench: choices on top, then a figure for everything."""

from collections.abc import Mapping

from wtforms import Form
from wtforms.fields import SelectChoice

from academy.catalog import crops
from academy.language import marked
from academy.service import try_out
from academy.service.try_out import Choice
from academy.units import System
from academy.web.forms.fields import ChoiceField, QuantityField
from academy.web.visit import SYSTEMS, reader

_LABELS = {
    "crop": marked("Crop"),
    "header": marked("Header"),
    "ground": marked("Ground"),
    "carried": marked("Carried"),
}


def choice_form(chosen: Choice) -> Form:
    """Crop, header, ground and what carries the header."""
    fields = {
        name: ChoiceField(
            _LABELS[name],
            choices=[SelectChoice(key, words) for key, words in offered],
            default=getattr(chosen, name),
        )
        for name, offered in try_out.choices(reader().language).items()
    }
    made: type[Form] = type("ChoiceForm", (Form,), fields)
    return made()


def bench_form(chosen: Choice, sent: Mapping[str, str], formdata: object) -> Form:
    """A figure for each condition and control of the choice."""
    named = sent.get("units")
    system: System = reader().units
    if named in SYSTEMS:
        system = "us" if named == "us" else "metric"
    bushel = crops.load(chosen.crop).bushel
    fields = {
        one.name: QuantityField(
            one.label,
            kind=one.kind,
            bounds=(one.low - _slack(one.low), one.high + _slack(one.high)),
            system=system,
            bushel=bushel,
            start=one.start,
        )
        for one in try_out.figures(chosen, reader().language)
    }
    made: type[Form] = type("BenchForm", (Form,), fields)
    return made(formdata)


def _slack(end: float) -> float:
    """Ends are shown rounded; what is shown may be typed."""
    return 0.02 * abs(end)
