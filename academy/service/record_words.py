"""An answer and its key in the words of the question as it was shown.

The words come from what was kept of the page, never from content: a family that was
rewritten since, or is gone, changes nothing here.
"""

from collections.abc import Mapping
from typing import Any

from academy import units
from academy.grading.fewest_moves import fewest_moved
from academy.language import Reader, gettext, marked, plain_number, show, with_unit
from academy.scenarios.facts import bushel
from academy.service.replayed import PartAgain
from academy.service.views import PartView, Table

_NONE = marked("not answered")
_IN_ORDER = marked("leave as it is")
_PUT_RIGHT = marked("must be put right")


def answer_and_key(shown: PartView, part: PartAgain, reader: Reader) -> Table:
    """Three columns: what was asked for, what was answered, and the key."""

    def say(text: str) -> str:
        return gettext(text, reader.language)

    head = (say(marked("Asked for")), say(marked("Answered")), say(marked("Key")))
    rows = _rows(shown, part, reader)
    return Table(say(marked("Answer and key")), head, tuple(rows))


def stability(part: PartAgain, reader: Reader) -> tuple[tuple[str, str], ...]:
    """What was found when the question was made: did doubt in the figures move it?"""
    stored, rows = part.stored, []
    if "flips" in stored:
        rows.append(
            (
                marked("draws in which another option beat the key"),
                f"{stored['flips']} / {stored['draws']}",
            )
        )
    for name, words in (
        ("r1", marked("full marks up to this cost above the best (r1)")),
        ("r0", marked("no marks from this cost above the best (r0)")),
        ("margin", marked("the key's lead over the next, low end")),
    ):
        if name in stored:
            rows.append((words, show(float(stored[name]), "money_per_area", reader)))
    return tuple((gettext(words, reader.language), value) for words, value in rows)


def _rows(shown: PartView, part: PartAgain, reader: Reader) -> list[tuple[str, ...]]:
    kind, answer = part.asked.kind, part.asked.answer
    if kind == "set-up":
        return _settings(shown, part, reader)
    if kind == "inspection":
        return _findings(shown, part, reader)
    if kind == "order":
        return _order(shown, part, reader)
    label = gettext(marked("answer"), reader.language)
    if kind == "number":
        return [(label, *_number(part, reader))]
    said = None if answer is None else answer.get("way", answer.get("choice"))
    words = dict(shown.options)
    told = gettext(_NONE, reader.language) if said is None else words.get(said, said)
    key = part.stored["key"]
    return [(label, told, words.get(key, key))]


def _settings(
    shown: PartView, part: PartAgain, reader: Reader
) -> list[tuple[str, ...]]:
    own = bushel(part.facts)
    typed: Mapping[str, Any] = (part.asked.answer or {}).get("controls", {})
    rows: list[tuple[str, ...]] = []
    for control in shown.controls:
        told = gettext(_NONE, reader.language)
        if control.name in typed:
            value, label = typed[control.name]
            told = _figure(value, label, reader)
        best = units.from_si(part.stored["best"][control.name], control.unit, own)
        rows.append((control.label, told, _figure(float(best), control.unit, reader)))
    return rows


def _findings(
    shown: PartView, part: PartAgain, reader: Reader
) -> list[tuple[str, ...]]:
    answer, bad = part.asked.answer, set(part.stored["bad"])

    def say(is_bad: bool) -> str:
        return gettext(_PUT_RIGHT if is_bad else _IN_ORDER, reader.language)

    rows: list[tuple[str, ...]] = []
    for key, name, reads in shown.findings:
        told = gettext(_NONE, reader.language)
        if answer is not None:
            told = say(key in answer.get("ticked", ()))
        rows.append((f"{name}: {reads}", told, say(key in bad)))
    return rows


def _order(shown: PartView, part: PartAgain, reader: Reader) -> list[tuple[str, ...]]:
    """Place by place; of all right orders the one nearest to the answer."""
    words = dict(shown.steps)
    pairs = [(first, last) for first, last in part.stored["pairs"]]
    begun = part.asked.answer
    order = list(begun["order"]) if begun else list(part.stored["shown"])
    none = gettext(_NONE, reader.language)
    return [
        (str(place), words.get(mine, mine) if begun else none, words.get(key, key))
        for place, (mine, key) in enumerate(
            zip(order, fewest_moved(order, pairs), strict=True), start=1
        )
    ]


def _number(part: PartAgain, reader: Reader) -> tuple[str, str]:
    if part.asked.answer is None:
        key = show(part.stored["key"], part.stored["kind_of"], reader)
        return gettext(_NONE, reader.language), key
    value, label = part.asked.answer["value"]
    key = part.asked.marks["detail"]["key"]
    return _figure(value, label, reader), _figure(key, label, reader)


def _figure(value: float, label: str, reader: Reader) -> str:
    figure = plain_number(float(value), reader.language)
    return with_unit(figure, str(label), reader.language)
