"""The form of a scenario's parts; what it reads is ready for ``take_answers``.

Field names: ``part-<place>-<control>`` with ``...-unit`` beside it, ``part-<place>``
for a choice or a number, ``part-<place>-<step>`` for the place of a step,
``part-<place>-sure`` for how sure one was, in practice.
"""

from collections.abc import Callable, Mapping
from typing import Any

from wtforms import Field, Form, RadioField
from wtforms.fields import SelectChoice, SelectField, SelectMultipleField
from wtforms.widgets import CheckboxInput, ListWidget, TextInput

from academy import units
from academy.errors import AcademyError, NotUnderstood, OutOfRange
from academy.language import marked, unit_word
from academy.service.views import ControlView, PartView, Question
from academy.web.forms.fields import refused
from academy.web.visit import reader

Answers = dict[int, dict[str, Any]]
SURE = "sure"
_SURE = (("yes", marked("I am sure")), ("no", marked("I am not sure")))
Sent = Mapping[str, str]


def _same_kind(label: str) -> tuple[str, ...]:
    si = units.si_of(label)
    return tuple(sorted(one for one in units.LABELS if units.si_of(one) == si))


class FigureField(Field):
    """A typed figure of a part; ``pair`` is the number and its unit as understood."""

    widget = TextInput()

    def __init__(
        self, label: str, *, unit: str, start: str = "", ends: str = "", **kwargs: Any
    ) -> None:
        super().__init__(label, **kwargs)
        self.unit, self.start = unit, start
        self.ends = [float(end) for end in ends.split()]
        self.typed: str | None = None
        self.pair: list[Any] = []

    def process_formdata(self, valuelist: list[str]) -> None:
        """Keep the text as it was typed."""
        if valuelist:
            self.typed = valuelist[0]

    def pre_validate(self, _form: Any) -> None:
        """Read number and unit; refuse what lies beyond the control's ends."""
        try:
            value, label = units.read(
                self.typed or "", _same_kind(self.unit), default=self.unit
            )
            self._check_ends(value, label)
        except AcademyError as error:
            raise refused(error) from error
        self.pair = [value, label]

    def _check_ends(self, value: float, label: str) -> None:
        if not self.ends:
            return
        low, high = self.ends
        given = float(units.from_si(units.to_si(value, label), self.unit))
        slack = 1e-6 * (high - low)
        if not low - slack <= given <= high + slack:
            word = unit_word(self.unit, reader().language)
            raise OutOfRange(
                "outside_the_form",
                name=str(self.label.text),
                value=(self.typed or "").strip(),
                low=f"{low:g} {word}",
                high=f"{high:g} {word}",
            )

    def _value(self) -> str:
        return self.start if self.typed is None else self.typed


class SureField(RadioField):
    """Sure or not; nobody has to say."""

    def pre_validate(self, _form: Any) -> None:
        """Take what was never offered as nothing said."""


class WayField(RadioField):
    """One of the ways; asked again when none is chosen."""

    def pre_validate(self, _form: Any) -> None:
        """Refuse no choice and what was never offered."""
        if self.data not in {value for value, *_ in self.iter_choices()}:
            raise refused(NotUnderstood("choose_one"))


class TicksField(SelectMultipleField):
    """Any of the findings, or none."""

    widget = ListWidget(prefix_label=False)
    option_widget = CheckboxInput()

    def pre_validate(self, _form: Any) -> None:
        """Refuse what was never shown."""
        offered = {value for value, *_ in self.iter_choices()}
        if not set(self.data or []) <= offered:
            raise refused(NotUnderstood("choose_one"))


class PlaceField(SelectField):
    """The place of a step, from 1; ``0`` means not placed yet."""

    def pre_validate(self, _form: Any) -> None:
        """Refuse what was never offered; unplaced steps are said once per part."""
        if self.data not in {value for value, *_ in self.iter_choices()}:
            raise refused(NotUnderstood("steps_not_all_once"))


class AnswersForm(Form):
    """The parts of one question; made by ``answers_form``."""

    question: Question

    def validate(self, extra_validators: Any = None) -> bool:
        """Every field in order, and every step in one place of its own."""
        fine = super().validate(extra_validators)
        return all([fine, *(self._order_fine(part) for part in self._orders())])

    def _orders(self) -> list[PartView]:
        return [part for part in self.question.parts if part.kind == "order"]

    def _order_fine(self, part: PartView) -> bool:
        fields = [self[_name(part, key)] for key, _text in part.steps]
        wanted = sorted(str(place) for place in range(1, len(fields) + 1))
        if sorted(field.data or "" for field in fields) == wanted:
            return True
        sentence = refused(NotUnderstood("steps_not_all_once"))
        fields[0].errors = [*fields[0].errors, str(sentence)]
        return False

    @property
    def answers(self) -> Answers:
        """What was answered, by the place of the part."""
        return {
            part.index: {**_READ[part.kind](self, part), **self._sure(part)}
            for part in self.question.parts
        }

    def _sure(self, part: PartView) -> dict[str, bool]:
        """Whether the person was sure, where it was asked and said."""
        said = self[_name(part, SURE)].data if self.question.asks_sure else None
        return {"sure": said == "yes"} if said in dict(_SURE) else {}


def _name(part: PartView, inner: str = "") -> str:
    return f"part-{part.index}-{inner}" if inner else f"part-{part.index}"


def _sent_unit(sent: Sent, name: str, shown: str) -> str:
    """The unit that stood beside the box when the form was sent."""
    named = sent.get(f"{name}-unit", shown)
    return named if named in _same_kind(shown) else shown


def _control_field(part: PartView, control: ControlView, sent: Sent) -> FigureField:
    unit = _sent_unit(sent, _name(part, control.name), control.unit)
    wide = control.ends or (float(control.low), float(control.high))
    ends = " ".join(map(repr, wide)) if unit == control.unit else ""
    return FigureField(control.label, unit=unit, start=control.as_found, ends=ends)


def _fields(part: PartView, sent: Sent) -> dict[str, Any]:
    if part.kind == "set-up":
        return {
            _name(part, control.name): _control_field(part, control, sent)
            for control in part.controls
        }
    if part.findings:
        shown = [SelectChoice(key, name) for key, name, _reads in part.findings]
        return {_name(part): TicksField(part.prompt, choices=shown)}
    if part.options:
        ways = [SelectChoice(value, label) for value, label in part.options]
        return {_name(part): WayField(part.prompt, choices=ways)}
    if part.kind == "number":
        unit = _sent_unit(sent, _name(part), part.units[0][0])
        return {_name(part): FigureField(part.prompt, unit=unit)}
    places = [SelectChoice("0", "–")]
    places += [SelectChoice(str(n)) for n in range(1, len(part.steps) + 1)]
    return {
        _name(part, key): PlaceField(text, choices=places) for key, text in part.steps
    }


def _read_set_up(form: AnswersForm, part: PartView) -> dict[str, Any]:
    return {
        "controls": {
            control.name: form[_name(part, control.name)].pair
            for control in part.controls
        }
    }


def _read_order(form: AnswersForm, part: PartView) -> dict[str, Any]:
    def place(key: str) -> int:
        return int(form[_name(part, key)].data)

    return {"order": sorted((key for key, _text in part.steps), key=place)}


def _read_choice(form: AnswersForm, part: PartView) -> dict[str, Any]:
    return {"choice": form[_name(part)].data}


_READ: Mapping[str, Callable[[AnswersForm, PartView], dict[str, Any]]] = {
    "set-up": _read_set_up,
    "direction": lambda form, part: {"way": form[_name(part)].data},
    "number": lambda form, part: {"value": form[_name(part)].pair},
    "order": _read_order,
    "inspection": lambda form, part: {"ticked": form[_name(part)].data or []},
    "one-change": _read_choice,
    "find-the-leak": _read_choice,
    "read-the-stubble": _read_choice,
    "go-or-stop": _read_choice,
    "find-the-cause": _read_choice,
}


def answers_form(question: Question, sent: Any = None) -> AnswersForm:
    """The form of a question, filled in with what was sent, if anything."""
    fields: dict[str, Any] = {"question": question}
    for part in question.parts:
        fields |= _fields(part, sent or {})
        if question.asks_sure:
            offered = [SelectChoice(value, label) for value, label in _SURE]
            fields[_name(part, SURE)] = SureField(choices=offered)
    made: type[AnswersForm] = type("Answers", (AnswersForm,), fields)
    return made(sent)
