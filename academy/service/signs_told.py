"""Signs in a reader's words: what was found beside what good order would leave."""

from collections.abc import Mapping, Sequence
from typing import Any

from academy import units
from academy.catalog import signs as catalog
from academy.catalog.signs import Sign
from academy.language import Reader, gettext, marked, number, unit_word
from academy.scenarios import faulty, signs, telling
from academy.scenarios.facts import Facts, bushel
from academy.service.shown_facts import capital
from academy.service.views import Table

Values = Sequence[float]
_PLACES = {
    3: (marked("left"), marked("middle"), marked("right")),
    2: (marked("left"), marked("right")),
}
_SIGN, _FOUND = marked("Sign"), marked("Found")
_USUAL, _THERE = marked("In good order"), marked("With your answer")
_MORE, _SAME, _LESS = marked("more"), marked("as usual"), marked("less")
_DIFFER_TITLE = marked("Signs that differ")
_STEP = 1.0  # less than a just visible step is no difference


def _unit(sign: Sign, reader: Reader) -> tuple[str, int]:
    """Label and decimals; of a difference of temperatures, those of the reading."""
    kind = {"warmer": "temperature"}.get(sign.shown_as, sign.shown_as)
    return units.KINDS[kind].shown(reader.units)


def _one(sign: Sign, value: float, usual: float, reader: Reader, own: float) -> str:
    """One reading without its unit."""
    if sign.shown_as == "tenths":
        return number(10.0 * value, 0, reader.language)
    if sign.shown_as == "trend":
        off = (value - usual) / sign.visible.si()[1]
        text = _SAME if abs(off) < _STEP else _MORE if off > 0 else _LESS
        return gettext(text, reader.language)
    label, decimals = _unit(sign, reader)
    shown = float(units.from_si(value, label, own))
    if sign.shown_as == "warmer":
        shown -= float(units.from_si(0.0, label))
    return number(shown, decimals, reader.language)


def _told(sign: Sign, values: Values, usual: Values, reader: Reader, own: float) -> str:
    """Readings at the places, once where they come out the same."""
    said = [_one(sign, *pair, reader, own) for pair in zip(values, usual, strict=True)]
    if len(set(said)) == 1:
        return said[0]
    places = (gettext(text, reader.language) for text in _PLACES[len(said)])
    pairs = zip(places, said, strict=True)
    return " · ".join(f"{place} {reading}" for place, reading in pairs)


def _label(sign: Sign, reader: Reader) -> str:
    name = capital(sign.name.for_language(reader.language))
    if sign.shown_as in ("tenths", "trend"):
        return name
    word = unit_word(_unit(sign, reader)[0], reader.language)
    return f"{name} ({word})" if word else name


def _row(
    name: str, columns: Sequence[Values], reader: Reader, own: float
) -> tuple[str, ...]:
    sign, usual = catalog.load()[name], columns[1]
    told = (_told(sign, values, usual, reader, own) for values in columns)
    return (_label(sign, reader), *told)


def _columns(
    part: Mapping[str, Any], names: Sequence[str]
) -> tuple[dict[str, list[float]], dict[str, list[float]]]:
    return (
        signs.by_name(names, part["found"]),
        signs.by_name(names, part["in_order"]),
    )


def tables(part: Mapping[str, Any], facts: Facts, reader: Reader) -> tuple[Table, ...]:
    """The evidence by groups; nothing in it names the fault."""
    groups, language = tuple(part["evidence"]), reader.language
    names = catalog.of_groups(groups)
    found, usual = _columns(part, names)
    own, listed = bushel(facts), catalog.load()
    head = tuple(gettext(text, language) for text in (_SIGN, _FOUND, _USUAL))
    return tuple(
        Table(
            catalog.groups()[group].for_language(language),
            head,
            tuple(
                _row(name, (found[name], usual[name]), reader, own)
                for name in names
                if listed[name].group == group
            ),
        )
        for group in catalog.groups()
        if group in groups
    )


def compared(
    part: Mapping[str, Any],
    facts: Facts,
    chosen: str,
    names: Sequence[str],
    reader: Reader,
) -> Table:
    """Signs that set the fault, good order and the chosen fault apart."""
    own, aside = bushel(facts), part.get("mirrored", False)
    one = faulty.pass_of(facts)
    keys = [part["key"], telling.IN_ORDER]
    head = [_SIGN, _FOUND, _USUAL]
    if chosen not in keys:
        keys.append(chosen)
        head.append(_THERE)
    read = [
        signs.by_name(
            names, signs.read(faulty.with_fault(one, key, aside), names)[:, 0].tolist()
        )
        for key in keys
    ]
    rows = [
        _row(name, [each[name] for each in read], reader, own)
        for name in names
        if any(telling.differ(name, read[0][name], each[name], own) for each in read)
    ]
    say = [gettext(text, reader.language) for text in head]
    return Table(gettext(_DIFFER_TITLE, reader.language), tuple(say), tuple(rows))
