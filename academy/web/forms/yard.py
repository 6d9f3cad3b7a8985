"""Forms of the yard: one measured item, and days of instruction.

Figures are kept as they were typed, number and unit, beside what they are in SI.
"""

from collections.abc import Mapping
from typing import Any

from wtforms import Field, Form
from wtforms.fields import SelectChoice
from wtforms.widgets import TextInput

from academy import units
from academy.catalog import grains, yard
from academy.catalog.yard import Input, Item
from academy.errors import AcademyError, NotUnderstood
from academy.language import marked
from academy.service.yard_judges import BOOK_LABELS
from academy.units import System
from academy.web.forms.answers import WayField
from academy.web.forms.fields import ChoiceField, DayField, QuantityField, refused
from academy.web.visit import SYSTEMS, reader

LONGEST_COUNTS, MOST_FRAMES = 300, 40
Sent = Mapping[str, str]


class TypedField(QuantityField):
    """A quantity that also keeps its number and unit as they were typed."""

    pair: list[Any]

    def _read(self, text: str) -> float:
        si = super()._read(text)
        allowed = units.labels_for(self.kind)
        self.pair = list(units.read(text, allowed, default=self.unit))
        return si

    @property
    def entered(self) -> list[Any]:
        """Number and unit."""
        return self.pair


class _TextField(Field):
    """A text box that keeps what was typed."""

    widget = TextInput()
    typed: str | None = None

    def process_formdata(self, valuelist: list[str]) -> None:
        """Keep the text; it is read when the form is validated."""
        if valuelist:
            self.typed = valuelist[0]

    def unit_word(self) -> str:
        """No unit stands beside the box."""
        return ""

    def _value(self) -> str:
        return self.typed or ""


class BookField(_TextField):
    """A figure of the machine's own book: force, force per width or pressure.

    Its unit must be typed, because the book's is not known.
    """

    entered: list[Any]

    def pre_validate(self, _form: Any) -> None:
        """Read number and unit; refuse what is neither."""
        try:
            self.entered = list(units.read(self._value(), BOOK_LABELS, default=None))
        except AcademyError as error:
            raise refused(error) from error


class CountsField(_TextField):
    """One whole number for each frame, with spaces or commas between."""

    entered: list[int]

    def pre_validate(self, _form: Any) -> None:
        """Read the numbers; refuse what is none."""
        parts = self._value()[:LONGEST_COUNTS].replace(",", " ").replace(";", " ")
        counts = parts.split()
        if not counts:
            raise refused(NotUnderstood("nothing_counted"))
        plain = all(one.isascii() and one.isdigit() and len(one) <= 5 for one in counts)
        if not plain or len(counts) > MOST_FRAMES:
            raise refused(NotUnderstood("counts_not_understood", text=self._value()))
        self.entered = [int(one) for one in counts]


class ItemForm(Form):
    """The inputs of one measured item; made by ``item_form``."""

    item: Item
    crops: tuple[str, ...]

    @property
    def entered(self) -> dict[str, Any]:
        """What was typed and chosen, by the input's key."""
        found: dict[str, Any] = {}
        for asked in self.item.inputs:
            if asked.kind == yard.CROP and len(self.crops) == 1:
                found[asked.key] = self.crops[0]
                continue
            field = self[asked.key]
            found[asked.key] = getattr(field, "entered", field.data)
        return found


class StepForm(Form):
    """The day of one step of instruction."""

    day = DayField(marked("Day"))


def item_form(
    item: Item, crops: tuple[str, ...], sent: Sent, typed: Mapping[str, str]
) -> ItemForm:
    """The form of a measured item: as sent, else with what was last ``typed``."""
    prefix = f"{item.key}-"
    bushel = grains.of(_crop(crops, sent.get(f"{prefix}crop", typed.get("crop", ""))))
    system = _system(sent)
    language = reader().language
    fields: dict[str, Any] = {"item": item, "crops": crops}
    for asked in item.inputs:
        made = _field(asked, crops, system, bushel.bushel, language)
        if made is not None:
            fields[asked.key] = made
    kind: type[ItemForm] = type("Measured", (ItemForm,), fields)
    own = any(name.startswith(prefix) for name in sent)
    form = kind(sent if own else None, prefix=prefix, data=None if own else typed)
    if not own:
        for name, text in typed.items():
            if name in form and hasattr(form[name], "typed"):
                form[name].typed = text
    return form


def _field(
    asked: Input,
    crops: tuple[str, ...],
    system: System,
    bushel: float,
    language: str,
) -> Any:
    name = asked.name.for_language(language)
    if asked.options:
        ways = [
            SelectChoice(key, one.for_language(language))
            for key, one in asked.options.items()
        ]
        return WayField(name, choices=ways)
    if asked.kind == yard.CROP:
        if len(crops) == 1:
            return None
        named = [SelectChoice(key, yard.crop_name(key, language)) for key in crops]
        return ChoiceField(name, choices=named, default=crops[0])
    if asked.kind == yard.COUNTS:
        return CountsField(name)
    if asked.kind == yard.BOOK:
        return BookField(name)
    return TypedField(
        name,
        kind=asked.kind,
        bounds=asked.bounds(bushel),
        system=system,
        bushel=bushel,
    )


def _crop(crops: tuple[str, ...], named: str) -> str:
    if named in crops:
        return named
    return crops[0] if crops else next(iter(grains.load()))


def _system(sent: Sent) -> System:
    """The unit system that the form was shown in."""
    named = sent.get("units")
    return "us" if named == "us" else "metric" if named in SYSTEMS else reader().units
