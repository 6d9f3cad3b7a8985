"""How we know what the engine says: its figures that matter most to a set-up."""

from typing import Any

from academy.catalog import coefficients, crops, sources
from academy.language import Reader, gettext, show_kept
from academy.service.evidence_words import EVIDENCE
from academy.service.views import HowRow

_WANTED = (
    "shatter_amplitude",
    "loose_amplitude",
    "bunched_loss",
    "pod_share",
    "late_share",
    "straw_left",
    "digging_cost",
    "divider_share",
)


def how_row(key: str, label: str, value: str, entry: Any, language: Any) -> HowRow:
    """One figure with its evidence in words, its source and where to read more."""
    source = sources.load()[entry.source].called(language)
    evidence = gettext(EVIDENCE[entry.evidence], language)
    return HowRow(label, value, evidence, source, f"/how/{key}")


def engine_how(crop: str, reader: Reader) -> tuple[HowRow, ...]:
    """The figures that matter most in a crop, those it has nothing of left out."""
    entries, language = coefficients.load(crop).entries, reader.language
    own = crops.load(crop).coefficients
    return tuple(
        how_row(
            f"{crop}.{name}" if name in own else name,
            entries[name].called(language, name),
            show_kept(entries[name].value, entries[name].unit, reader),
            entries[name],
            language,
        )
        for name in _WANTED
        if entries[name].highest > 0
    )
