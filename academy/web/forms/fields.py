"""Fields that read what people type, strictly, and keep it as it was typed."""

from datetime import date
from typing import Any

from markupsafe import Markup
from wtforms import Field
from wtforms.fields import SelectField, StringField
from wtforms.validators import ValidationError
from wtforms.widgets import TextInput

from academy import units
from academy.errors import AcademyError, NotUnderstood, OutOfRange
from academy.language import gettext, marked, number, sentence_for, show, unit_word
from academy.units import System
from academy.web.visit import reader


def say(text: str) -> str:
    """An interface text in the reader's language."""
    return gettext(text, reader().language)


def refused(error: AcademyError) -> ValidationError:
    """What WTForms wants to hear of a refusal: its sentence for the reader."""
    return ValidationError(sentence_for(error, reader()))


class TextField(StringField):
    """A text without needless spaces that may not be empty."""

    def pre_validate(self, _form: Any) -> None:
        """Refuse an empty text and one that is too long."""
        tidy = " ".join(str(getattr(self, "data", None) or "").split())
        self.data: str | None = tidy
        if not tidy:
            raise refused(NotUnderstood("name_needed", name=say(str(self.label.text))))


class ChoiceField(SelectField):
    """One of a fixed set; anything else is named and asked for again."""

    def pre_validate(self, _form: Any) -> None:
        """Refuse what was never offered; what was not sent is the default."""
        sent: Any = getattr(self, "data", None)
        self.data: Any = self.default if sent is None else sent
        offered = {value for value, *_ in self.iter_choices()}
        if self.data not in offered:
            name = say(str(self.label.text))
            raise refused(NotUnderstood("not_a_choice", name=name, value=self.data))


class DayField(StringField):
    """A day as the browser's own day picker writes it: 2026-09-21."""

    day: date | None = None

    def pre_validate(self, _form: Any) -> None:
        """Read the day; refuse what is none."""
        try:
            self.day = date.fromisoformat((self.data or "").strip())
        except ValueError:
            said = self.data or ""
            raise refused(NotUnderstood("day_not_understood", value=said)) from None


class QuantityField(Field):
    """A figure with its unit, typed into one text box.

    A bare number is in the unit shown beside the box, the one of ``system``; any other
    unit of the same kind may be typed behind it. ``bounds`` are in SI, ends included;
    ``ends`` are those told to the reader, where bounds leave room for rounding.
    """

    widget = TextInput()

    def __init__(
        self,
        label: str,
        *,
        kind: str,
        bounds: tuple[float, float],
        system: System,
        bushel: float | None = None,
        start: float | None = None,
        ends: tuple[float, float] | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(label, **kwargs)
        self.kind, self.bounds, self.bushel, self.start = kind, bounds, bushel, start
        self.ends = ends or bounds
        self.unit, _ = units.KINDS[kind].shown(system)
        self.typed: str | None = None
        self.si: float | None = None

    def process_formdata(self, valuelist: list[str]) -> None:
        """Keep the text; the number is read when the form is validated."""
        if valuelist:
            self.typed = valuelist[0]

    def pre_validate(self, _form: Any) -> None:
        """Read number and unit; refuse what is neither or out of bounds."""
        try:
            self.si = self._read(self._value())
        except AcademyError as error:
            raise refused(error) from error

    def _read(self, text: str) -> float:
        allowed = units.labels_for(self.kind)
        value, label = units.read(text, allowed, default=self.unit)
        si = float(units.to_si(value, label, self.bushel))
        low, high = self.bounds
        if not low <= si <= high:
            raise OutOfRange(
                "outside_the_form",
                name=str(self.label.text),
                value=text.strip(),
                low=self._shown(self.ends[0]),
                high=self._shown(self.ends[1]),
            )
        return si

    def _shown(self, si: float) -> str:
        return show(si, self.kind, reader(), self.bushel)

    def between(self) -> str:
        """Between which figures it can be set, in the reader's unit."""
        low, high = (self._plain(end) for end in self.ends)
        return say(marked("from %(low)s to %(high)s")) % {"low": low, "high": high}

    def as_read(self) -> str:
        """The figure as it was understood, in the reader's unit."""
        return "" if self.si is None else self._shown(self.si)

    def unit_word(self) -> str:
        """The unit beside the box, as the reader's language writes it."""
        label, _ = units.KINDS[self.kind].shown(reader().units)
        return unit_word(label, reader().language)

    def _value(self) -> str:
        if self.typed is not None:
            return self.typed if self._same_system() else self._with_unit(self.typed)
        return "" if self.start is None else self._plain(self.start)

    def _same_system(self) -> bool:
        return units.KINDS[self.kind].shown(reader().units)[0] == self.unit

    def _with_unit(self, typed: str) -> str:
        """Typed in the other system: say its unit, so that it keeps its meaning."""
        bare = typed.strip().replace(".", "").replace(",", "").isdecimal()
        return f"{typed.strip()} {self.unit}" if bare else typed

    def _plain(self, si: float) -> str:
        label, decimals = units.KINDS[self.kind].shown(reader().units)
        shown = units.from_si(si, label, self.bushel)
        return number(shown, decimals, reader().language).replace(",", "")


class CountField(QuantityField):
    """A whole number of things."""

    def _read(self, text: str) -> float:
        si = super()._read(text)
        if si != int(si):
            raise NotUnderstood("whole_number_needed", value=text.strip())
        return si


def attributes(field: Field) -> Markup:
    """``aria`` attributes that tie a field to its hint and its sentence of refusal."""
    tied = f"{field.id}-hint" + (f" {field.id}-error" if field.errors else "")
    wrong = Markup(' aria-invalid="true"') if field.errors else Markup("")
    return Markup('aria-describedby="{}"{}').format(tied, wrong)
