"""Turns messages – keys, quantities, dates – into words for one reader.

English is the message id; Spanish comes from the ``.po`` files in
``content/locale/es``, compiled in memory at first use. Both locales write a decimal
point. The sentence of an error comes from ``content/locale/errors.toml``.
"""

import io
import re
import tomllib
import types
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Any, Literal, TypeAlias, TypeVar, cast
from zoneinfo import ZoneInfo

from babel.dates import format_date, format_datetime
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.numbers import format_decimal
from babel.support import Translations

from academy import paths, units
from academy.errors import AcademyError, ContentError
from academy.units import System

Language: TypeAlias = Literal["en", "es"]
LANGUAGES: tuple[Language, ...] = ("en", "es")
_LOCALES = {"en": "en_US", "es": "es_US"}
_LONGEST = 1e15  # beyond it nobody reads the digits
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Reader:
    """Whom we talk to: their language and their unit system."""

    language: Language = "en"
    units: System = "us"


@cache
def _spanish() -> Translations:
    merged = Translations()
    for path in sorted((paths.content() / "locale" / "es").glob("*.po")):
        compiled = io.BytesIO()
        write_mo(compiled, read_po(io.BytesIO(path.read_bytes()), locale="es"))
        compiled.seek(0)
        merged.merge(Translations(compiled))
    return merged


def gettext(text: str, language: Language) -> str:
    """``text`` (English) in ``language``; the English text where the twin is missing.

    ``tests/test_twins.py`` fails for a missing twin.
    """
    return text if language == "en" or not text else str(_spanish().gettext(text))


def ngettext(one: str, many: str, number: int, language: Language) -> str:
    """The form of a counted English text that ``number`` asks for."""
    if language == "en":
        return one if number == 1 else many
    return str(_spanish().ngettext(one, many, number))


def marked(text: str) -> str:
    """``text`` itself, marked so that the extraction finds it; translate it later."""
    return text


def twin(texts: Mapping[str, T], language: Language) -> T:
    """The ``{en, es}`` text of content in ``language``; raises ContentError."""
    if language not in texts:
        raise ContentError("twin_missing", language=language, text=str(dict(texts)))
    return texts[language]


@cache
def _locale_file(name: str) -> Mapping[str, Any]:
    with (paths.content() / "locale" / name).open("rb") as file:
        return types.MappingProxyType(tomllib.load(file))


def unit_word(label: str, language: Language) -> str:
    """How a unit label is written for people: ``ft^2`` is ``ft²`` and ``pies²``."""
    units.si_of(label)
    shown: Mapping[str, str] = _locale_file("units.toml")["shown"][language]
    return shown.get(label, label)


def number(value: float, decimals: int, language: Language) -> str:
    """``value`` with a fixed number of decimals and grouped thousands."""
    pattern = "#,##0" + ("." + "0" * decimals if decimals else "")
    rounded = round(float(value), decimals) + 0.0  # no "-0"
    return format_decimal(rounded, format=pattern, locale=_LOCALES[language])


def plain_number(value: float, language: Language) -> str:
    """``value`` to four significant digits, without trailing zeros.

    From 10^15 on it is written with a power of ten.
    """
    rounded = float(f"{float(value):.4g}") + 0.0
    if abs(rounded) >= _LONGEST:
        return f"{rounded:.4g}"
    return format_decimal(rounded, format="#,##0.########", locale=_LOCALES[language])


def with_unit(figure: str, label: str, language: Language) -> str:
    """A written number and its unit: ``4.5 mph``, ``$12.30/ac``, ``12°``."""
    word = unit_word(label, language)
    if word.startswith("$"):
        sign, digits = ("-", figure[1:]) if figure.startswith("-") else ("", figure)
        return f"{sign}${digits}{word[1:]}"
    return figure + word if word in ("", "°") else f"{figure} {word}"


def show_in(value: float, label: str, decimals: int, language: Language) -> str:
    """``value``, already in ``label``, with the unit's word."""
    return with_unit(number(value, decimals, language), label, language)


def show(
    value_si: float,
    kind: str,
    reader: Reader,
    bushel: float | None = None,
    within: float = 1.0,
) -> str:
    """An SI value as ``reader`` is shown its kind: ``4.5 mph`` or ``7.2 km/h``.

    ``bushel`` [kg] is needed where the kind is counted in bushels. ``within``: the
    greatest share that rounding may take away.
    """
    label, _ = units.KINDS[kind].shown(reader.units)
    shown = units.from_si(float(value_si), label, bushel)
    decimals = units.KINDS[kind].decimals(reader.units, shown, within)
    return show_in(shown, label, decimals, reader.language)


def show_quantity(
    q: units.Quantity, kind: str, reader: Reader, bushel: float | None = None
) -> str:
    """A quantity as ``reader`` is shown its kind."""
    si = units.si_of(units.KINDS[kind].metric)
    return show(units.value_in(q, si), kind, reader, bushel or units.bushel_of(q))


@cache
def _other_of(system: units.System) -> Mapping[str, str]:
    """Label to read in for a label of the other system; bushels only for grain."""
    pairs = [(kind.us, kind.metric) for kind in units.KINDS.values()]
    if system == "us":
        turned = [(metric, us) for us, metric in pairs]
        pairs = sorted(turned, key=lambda pair: not units.counts_bushels(pair[1]))
    own = {own for _, own in pairs}
    return {other: own_label for other, own_label in pairs if other not in own}


def _converted(value: float, label: str, language: Language) -> str:
    """A figure that came out of another unit, to the digits that people read.

    Three significant ones; whole degrees; thousandths of an inch, tenths of a
    millimetre.
    """
    if label in ("degF", "degC") and abs(value) >= 1.0:
        return with_unit(number(value, 0, language), label, language)
    if label == "cm" and abs(value) < 1.0:
        value, label = 10.0 * value, "mm"
    if label == "mm" or (label == "in" and abs(value) < 1.0):
        value = round(value, 3 if label == "in" else 1) or value
    return with_unit(plain_number(float(f"{value:.3g}"), language), label, language)


def _fraction(value: float, label: str) -> str:
    """Inches of an eighth, a sixteenth or a thirty-second; empty for all else."""
    parts, bottom = value * 32.0, 32
    if label != "in" or not 0 < value < 1 or parts != int(parts) or parts % 8 == 0:
        return ""
    top = int(parts)
    while top % 2 == 0:
        top, bottom = top // 2, bottom // 2
    return f"{top}/{bottom}"


def show_kept(
    value: float, label: str, reader: Reader, bushel: float | None = None
) -> str:
    """A figure of the content as ``reader`` reads it, to four significant digits.

    In the reader's units, there to three digits; bushels need ``bushel`` [kg], else
    they stay. Kelvin are a difference of temperatures: 10 K are 10 °C and 18 °F.
    """
    if label == "K":
        own = "degF" if reader.units == "us" else "degC"
        degrees = float(units.from_si(value, own)) - float(units.from_si(0.0, own))
        return with_unit(plain_number(degrees, reader.language), own, reader.language)
    read_in = _other_of(reader.units).get(label, label)
    if bushel is None and (
        units.counts_bushels(label) or units.counts_bushels(read_in)
    ):
        read_in = label
    if read_in != label:
        value = units.from_si(units.to_si(value, label, bushel), read_in, bushel)
        return _converted(float(value), read_in, reader.language)
    figure = _fraction(value, label) or plain_number(value, reader.language)
    return with_unit(figure, read_in, reader.language)


def show_date(day: date, language: Language) -> str:
    """A day in words: ``Nov 29, 2026`` or ``29 nov 2026``."""
    return format_date(day, "medium", locale=_LOCALES[language])


def show_moment(moment: datetime, zone: str, language: Language) -> str:
    """An aware moment on the farm's clock; ``zone`` is an IANA name."""
    local = moment.astimezone(ZoneInfo(zone))
    day = format_date(local, "medium", locale=_LOCALES[language])
    return f"{day} {format_datetime(local, 'HH:mm', locale=_LOCALES[language])}"


def _said(name: str, value: object, language: Language) -> str:
    """One value of an error as its sentence says it."""
    if name == "allowed" and isinstance(value, str):
        parts = [part for part in value.split(", ") if part]
        return ", ".join(_unit_or_text(part, language) for part in parts)
    if name == "name" and isinstance(value, str):
        return gettext(value.replace("_", " "), language)
    if name == "problem" and language == "es":
        return _problem_in_spanish(str(value))
    if isinstance(value, bool) or not isinstance(value, int | float):
        return str(value)
    return plain_number(value, language)


_SLOT = re.compile(r"\\\{\w*\\\}")


@cache
def _problems() -> tuple[tuple[re.Pattern[str], str], ...]:
    """What can be wrong with content: a pattern of the English, and the Spanish."""
    return tuple(
        (re.compile(_SLOT.sub("(.+?)", re.escape(one["en"]))), one["es"])
        for one in _locale_file("problems.toml")["problems"]
    )


def _problem_in_spanish(problem: str) -> str:
    """The Spanish of a problem, with what came in its slots; unknown ones stay."""
    for pattern, spanish in _problems():
        if found := pattern.fullmatch(problem):
            return re.sub(r"\{\w*\}", "{}", spanish).format(*found.groups())
    return problem


def _unit_or_text(text: str, language: Language) -> str:
    return unit_word(text, language) if text in units.LABELS else text


def sentence_for(error: AcademyError, reader: Reader) -> str:
    """What ``error`` tells ``reader``: what it must be, what came, what to do.

    Raises LookupError for a key that ``content/locale/errors.toml`` does not know.
    """
    known = _locale_file("errors.toml")
    if error.key not in known:
        raise LookupError(f"content/locale/errors.toml lacks {error.key!r}")
    template = cast("str", twin(known[error.key], reader.language))
    said = {n: _said(n, v, reader.language) for n, v in error.values.items()}
    sentence = template.format_map(_Said(said))
    if template.startswith("{file}"):
        return sentence  # a file keeps its name
    return sentence[:1].upper() + sentence[1:]


class _Said(dict[str, str]):
    def __missing__(self, name: str) -> str:
        return "?"
