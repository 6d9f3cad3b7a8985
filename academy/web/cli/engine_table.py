"""``academy check --engine``: the coefficients, those that matter most first."""

from collections.abc import Iterator

from academy.language import Language, Reader, gettext, marked, plain_number, with_unit
from academy.service import engine_check
from academy.service.engine_check import EngineCheck, Known
from academy.service.evidence_words import EVIDENCE

_HEAD = marked(
    "share  in order  coefficient: value (low to high), how it is known, source"
)
_FIXED = marked("no range")


def _plain(one: Known) -> dict[str, object]:
    figure = one.entry.figure
    return {
        "key": one.key,
        "value": figure.value,
        "low": figure.lowest,
        "high": figure.highest,
        "unit": figure.unit,
        "evidence": figure.evidence,
        "source": figure.source,
        "variance_share": one.share,
        "variance_share_error": one.error,
        "variance_share_in_order": one.in_order,
    }


def as_data(checked: EngineCheck, reader: Reader) -> dict[str, object]:
    """All of it as plain data; each ``error`` is twice a standard error."""
    order, out = checked.in_order, checked.out_of_order
    return {
        "coefficients": [_plain(one) for one in checked.known],
        "method": " ".join(engine_check.method(checked, reader)),
        "crops": list(checked.crops),
        "fields": order.count,
        "total": order.total,
        "error": order.error,
        "runs_out_of_order": out.count,
        "total_out_of_order": out.total,
        "error_out_of_order": out.error,
    }


def _value(one: Known, language: Language) -> str:
    figure, unit = one.entry.figure, one.entry.figure.unit
    value = with_unit(plain_number(figure.value, language), unit, language)
    if figure.fixed or figure.lowest == figure.highest:
        return f"{value} ({gettext(_FIXED, language)})"
    low, high = (plain_number(x, language) for x in (figure.lowest, figure.highest))
    return f"{value} ({low}\N{EN DASH}{high})"


def _line(one: Known, language: Language) -> str:
    evidence = gettext(EVIDENCE[one.entry.figure.evidence], language)
    source = one.entry.source.called(language)
    shares = f"{100.0 * one.share:4.1f} %    {100.0 * one.in_order:4.1f} %"
    known = f"{_value(one, language)}, {evidence}. {source}."
    return f"{shares}  {one.entry.name(language)}: {known}"


def lines(checked: EngineCheck, reader: Reader) -> Iterator[str]:
    """How it was found, in sentences; then a line for each coefficient."""
    yield from engine_check.method(checked, reader)
    yield ""
    yield gettext(_HEAD, reader.language)
    yield from (_line(one, reader.language) for one in checked.known)
