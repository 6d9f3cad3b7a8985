"""``academy check --engine``: the coefficients, those that matter most first."""

from collections.abc import Iterator

from academy.catalog import crops, sources
from academy.language import Language, Reader, gettext, marked, plain_number, with_unit
from academy.service import engine_check
from academy.service.engine_check import EngineCheck, Known
from academy.service.evidence_words import EVIDENCE

_HEAD = marked("share  coefficient: value (low to high), how it is known, source")
_FIXED = marked("no range")


def as_data(checked: EngineCheck, reader: Reader) -> dict[str, object]:
    """All of it as plain data; ``error`` is twice the standard error of the total."""
    return {
        "coefficients": [
            {
                "key": one.key,
                "value": one.figure.value,
                "low": one.figure.lowest,
                "high": one.figure.highest,
                "unit": one.figure.unit,
                "evidence": one.figure.evidence,
                "source": one.figure.source,
                "variance_share": one.share,
                "variance_share_error": one.error,
            }
            for one in checked.known
        ],
        "method": engine_check.method(checked, reader),
        "fields": checked.fields,
        "crops": list(checked.crops),
        "total": checked.total,
        "error": checked.error,
    }


def _named(one: Known, language: Language) -> str:
    name = one.figure.called(language, one.key)
    if one.crop is None:
        return name
    return f"{crops.load(one.crop).name.for_language(language)}: {name}"


def _value(one: Known, language: Language) -> str:
    figure, unit = one.figure, one.figure.unit
    value = with_unit(plain_number(figure.value, language), unit, language)
    if figure.fixed or figure.lowest == figure.highest:
        return f"{value} ({gettext(_FIXED, language)})"
    low, high = (plain_number(x, language) for x in (figure.lowest, figure.highest))
    return f"{value} ({low}\N{EN DASH}{high})"


def _line(one: Known, language: Language) -> str:
    evidence = gettext(EVIDENCE[one.figure.evidence], language)
    source = sources.load()[one.figure.source].called(language)
    share = f"{100.0 * one.share:4.1f} %"
    known = f"{_value(one, language)}, {evidence}. {source}."
    return f"{share}  {_named(one, language)}: {known}"


def lines(checked: EngineCheck, reader: Reader) -> Iterator[str]:
    """A line for each coefficient between the method and what all shares come to."""
    yield engine_check.method(checked, reader)
    yield ""
    yield gettext(_HEAD, reader.language)
    yield from (_line(one, reader.language) for one in checked.known)
