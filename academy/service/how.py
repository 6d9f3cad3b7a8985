"""How do we know? Every figure of the content with its evidence, source and range."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from academy.catalog import (
    calculators,
    coefficients,
    combines,
    crops,
    days,
    grains,
    ground_following,
    grounds,
    headers,
    isotherms,
    knives,
    mouths,
    parts,
    sources,
    standards,
    yard,
)
from academy.catalog.evidence import Evidenced
from academy.catalog.sources import Source
from academy.catalog.toml_files import Twin
from academy.errors import NotFound
from academy.language import (
    Language,
    Reader,
    marked,
    plain_number,
    show_kept,
    with_unit,
)

EVIDENCE_MEANINGS: Mapping[str, str] = {
    "published": marked(
        "Somebody measured or fixed it and printed it; the source is named."
    ),
    "derived": marked(
        "It follows by calculation from figures that were read in named sources."
    ),
    "practice": marked(
        "People of the trade do it this way and it works; no measurement was found."
    ),
    "memory": marked(
        "It is remembered from a source that was not at hand; treat it with caution."
    ),
    "judgement": marked(
        "Nobody measured it for this purpose. We chose a value and a range that give "
        "sensible answers; better figures are welcome."
    ),
}


@dataclass(frozen=True, slots=True)
class HowEntry:
    """One figure with the group it belongs to.

    ``fitted``: a coefficient of a printed formula, which stays in the formula's unit.
    """

    key: str
    group: str
    figure: Evidenced
    bushel: float | None = None
    whose: Twin | None = None
    fitted: bool = False

    def name(self, language: Language) -> str:
        """What the figure is called, after the crop or machine it belongs to."""
        named = self.figure.name
        own = named.for_language(language) if named else self.key.replace("_", " ")
        return f"{self.whose.for_language(language)}: {own}" if self.whose else own

    def value(self, reader: Reader) -> str:
        """The figure in the reader's units."""
        return self._shown(self.figure.value, reader)

    def as_kept(self, reader: Reader) -> str:
        """The figure in the unit of its source."""
        figure = plain_number(self.figure.value, reader.language)
        return with_unit(figure, self.figure.unit, reader.language)

    def span(self, reader: Reader) -> tuple[str, str] | None:
        """Low and high bound, None for a figure without a range."""
        if self.figure.low is None or self.figure.high is None:
            return None
        low, high = self.figure.low, self.figure.high
        return self._shown(low, reader), self._shown(high, reader)

    def _shown(self, value: float, reader: Reader) -> str:
        if self.fitted:
            return self.as_kept(reader)
        return show_kept(value, self.figure.unit, reader, self.bushel)

    @property
    def source(self) -> Source:
        """Where it comes from."""
        return source(self.figure.source)


def _of_crops() -> Iterator[HowEntry]:
    for key in crops.known():
        crop = crops.load(key)
        for section in ("grain", "conditions", "targets"):
            for name, figure in getattr(crop, section):
                place = f"{key}.{section}.{name}"
                if figure is not None:
                    yield HowEntry(place, "crop", figure, crop.bushel, crop.name)
        for name, figure in crop.coefficients.items():
            yield HowEntry(f"{key}.{name}", "crop", figure, crop.bushel, crop.name)


def _of_hours() -> Iterator[HowEntry]:
    for key in crops.known():
        crop = crops.load(key)
        figures = dict(crop.window)
        if crop.delay:
            figures["daily_loss"] = crop.delay.daily_loss
        figures |= {f"stand.{name}": each for name, each in crop.stand.items()}
        for name, figure in figures.items():
            yield HowEntry(f"{key}.{name}", "crop", figure, whose=crop.name)
    for key, day in days.load().items():
        for name, figure in day.figures().items():
            yield HowEntry(f"{key}.{name}", "coefficients", figure, whose=day.name)


def _of_grains() -> Iterator[HowEntry]:
    """What is counted of grains, but for what is listed with its crop."""
    own = {entry.key for entry in _of_crops()}
    for key, counted in grains.load().items():
        for name, figure in counted:
            place = f"{key}.grain.{name}"
            if isinstance(figure, Evidenced) and place not in own:
                yield HowEntry(place, "crop", figure, counted.bushel, counted.name)


def _of_isotherms() -> Iterator[HowEntry]:
    for name, figure in isotherms.load().limits:
        yield HowEntry(name, "crop", figure)
    for key, isotherm in isotherms.load().crops.items():
        for name in "abc":
            figure = getattr(isotherm, name)
            whose = grains.of(key).name
            called = f"{key}.isotherm.{name}"
            yield HowEntry(called, "crop", figure, whose=whose, fitted=True)


def _of_knives() -> Iterator[HowEntry]:
    for key, kind in knives.load().items():
        for name, figure in kind.figures():
            yield HowEntry(f"{key}.{name}", "machine", figure, whose=kind.name)


def _of_drums() -> Iterator[HowEntry]:
    for key, drive in mouths.load().items():
        for name, figure in drive.figures():
            yield HowEntry(f"drum.{key}.{name}", "machine", figure, whose=drive.name)


def _of_coefficients() -> Iterator[HowEntry]:
    for name, figure in coefficients.common().items():
        yield HowEntry(name, "coefficients", figure)


def _of_parts() -> Iterator[HowEntry]:
    for key in parts.PARTS:
        for name, figure in parts.load(key).entries.items():
            yield HowEntry(name, "coefficients", figure)


def _of_states() -> Iterator[HowEntry]:
    for key in parts.PARTS:
        for name, figure in parts.load(key).state.items():
            yield HowEntry(f"{key}.{name}", "state", figure)


def _of_ground() -> Iterator[HowEntry]:
    for name, figure in ground_following.load():
        yield HowEntry(f"ground.{name}", "coefficients", figure)
    for key, one in grounds.load().items():
        if one.ridge_height is not None:
            place = f"{key}.ridge_height"
            yield HowEntry(place, "coefficients", one.ridge_height, whose=one.name)


def _of_machines() -> Iterator[HowEntry]:
    for key in headers.known():
        header = headers.load(key)
        for name, figure in header.measures:
            yield HowEntry(f"{key}.{name}", "machine", figure, whose=header.name)
    for key in combines.known():
        combine = combines.load(key)
        for name, figure in combine:
            if isinstance(figure, Evidenced):
                yield HowEntry(f"{key}.{name}", "machine", figure, whose=combine.name)


def _of_calculators() -> Iterator[HowEntry]:
    for calculator in calculators.load().values():
        for name, asked in calculator.items():
            if asked.start is not None:
                yield HowEntry(name, "calculators", asked.start)


def _of_standards() -> Iterator[HowEntry]:
    for name, figure in standards.load():
        yield HowEntry(name, "calculators", figure)


def _of_yard() -> Iterator[HowEntry]:
    for name, figure in yard.rule().root.items():
        yield HowEntry(f"yard.{name}", "yard", figure)


def listed() -> Iterator[HowEntry]:
    """Every figure once, in the order of the lists; its key is that of no other."""
    for each in (
        _of_crops,
        _of_grains,
        _of_isotherms,
        _of_coefficients,
        _of_parts,
        _of_states,
        _of_ground,
        _of_hours,
        _of_machines,
        _of_knives,
        _of_drums,
        _of_calculators,
        _of_standards,
        _of_yard,
    ):
        yield from each()


def beyond_plain_run() -> Iterator[HowEntry]:
    """What the engine believes that ``header.run`` does not take.

    Coefficients of parts, isotherms, beliefs about the ground, ranges of knives.
    """
    yield from _of_parts()
    yield from _of_isotherms()
    for name, figure in ground_following.load():
        if not figure.fixed:
            yield entries()[f"ground.{name}"]
    yield from (each for each in _of_knives() if each.figure.low is not None)


@cache
def entries() -> Mapping[str, HowEntry]:
    """Every figure by the key of its page, in the order of the lists."""
    return {entry.key: entry for entry in listed()}


def entry(key: str) -> HowEntry:
    """One figure; raises NotFound."""
    if key not in entries():
        raise NotFound("no_such_figure", name=key)
    return entries()[key]


def source(key: str) -> Source:
    """One source; raises NotFound."""
    if key not in sources.load():
        raise NotFound("no_such_source", name=key)
    return sources.load()[key]


def figures_of(source_key: str) -> list[HowEntry]:
    """Every figure that names a source."""
    return [one for one in entries().values() if one.figure.source == source_key]
