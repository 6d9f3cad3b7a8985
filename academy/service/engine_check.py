"""Every coefficient of the engine with its evidence, and how much doubt it causes.

``service/engine_doubt.py`` runs the reference set; here a coefficient's share is the
mean over the runs in which it can act. One that acts in none has no share.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from statistics import fmean, stdev

from academy.catalog import crops
from academy.language import Language, Reader, gettext, marked
from academy.scenarios.out_of_order import PARTS
from academy.service import engine_doubt, how
from academy.service.engine_doubt import Shares
from academy.service.how import HowEntry
from academy.service.reference_set import (
    Reference,
    crops_asked,
    keys_of,
    reference_set,
)

FIELDS = 24  # of each crop, in good order
DISORDERED = 3  # of them, for each part once with that part out of order
_METHOD = (
    marked(
        "Share of the variance of the cost per area that a coefficient causes by "
        "itself (first-order Sobol' index): the mean over the runs in which it can act."
    ),
    marked(
        "%(fields)s fields drawn of %(crops)s are cut with the header in good order, "
        "at their best settings. %(disordered)s further runs, at those settings but in "
        "a drawn stand, have one part out of order each: knife, reel arms, dividers, "
        "wings, belts and drum, combine on a side slope, or a crop that waited. Each "
        "figure of it lies between what it should be and half-way to its ends."
    ),
    marked(
        "A part's coefficients can act where it is out of order, those of stems in all "
        "further runs, a crop's own in that crop, a knife's measures in one further "
        "run of each crop, all others everywhere."
    ),
    marked(
        "The figure under “in order” is the mean over all fields in good order, "
        "whatever the crop. Those add up to %(total)s %%, give or take %(error)s; in a "
        "run with a part out of order, the shares add up to %(total_out)s %%, give or "
        "take %(error_out)s. The rest is caused by several together."
    ),
    marked(
        "A coefficient's range is taken as triangular about its value. No run costs "
        "more than the crop is worth: it would be left standing."
    ),
    marked(
        "0 stands where there is no range, where no field drawn asks for it, and where "
        "no cost rests on it: moisture through the day, the drawn ground and the bar "
        "that follows it, power as long as it suffices, and what is only a sign or "
        "known in direction alone. It does not mean that the figure is known well."
    ),
)


@dataclass(frozen=True, slots=True)
class Known:
    """One coefficient under the key of its page, with its share."""

    entry: HowEntry
    share: float  # mean over the runs in which it can act
    error: float  # twice the standard error over them
    in_order: float  # mean over all runs in good order

    @property
    def key(self) -> str:
        """The key of its page."""
        return self.entry.key


@dataclass(frozen=True, slots=True)
class Runs:
    """Runs of one kind, and what the shares in one come to."""

    count: int
    total: float
    error: float  # twice the standard error over the runs


@dataclass(frozen=True, slots=True)
class EngineCheck:
    """Every coefficient, those that matter most first; what all shares come to."""

    known: tuple[Known, ...]
    crops: tuple[str, ...]
    in_order: Runs
    out_of_order: Runs


def _twice_error(values: Sequence[float]) -> float:
    return 2.0 * stdev(values) / len(values) ** 0.5 if len(values) > 1 else 0.0


def _runs(shares: Sequence[Shares]) -> Runs:
    totals = [sum(each.values()) for each in shares]
    return Runs(len(totals), fmean(totals), _twice_error(totals))


def _listed(asked: Sequence[str]) -> Iterator[HowEntry]:
    """Every coefficient: of the plain run, of parts, ground, isotherms and knives."""
    plain = {key for crop in asked for key in keys_of(crop).values()}
    entries = how.entries()
    yield from (entries[key] for key in sorted(plain))
    yield from how.beyond_plain_run()


def _known(entry: HowEntry, order: Sequence[Shares], out: Sequence[Shares]) -> Known:
    key = entry.key
    acts = [each[key] for each in chain(order, out) if key in each]
    alike = [each.get(key, 0.0) for each in order]
    share = fmean(acts) if acts else 0.0
    return Known(entry, share, _twice_error(acts), fmean(alike))


def _disordered(references: Sequence[Reference]) -> Iterator[Shares]:
    for one in references:
        for part in PARTS:
            found = engine_doubt.out_of_order(one, part)
            if found is not None:
                yield found


def engine_check(count: int = FIELDS, disordered: int = DISORDERED) -> EngineCheck:
    """Coefficients with their shares, from ``count`` drawn fields of each crop.

    The first ``disordered`` of them run with each part out of order too. Same content,
    same shares. Raises ContentError for broken content.
    """
    asked = crops_asked()
    order: list[Shares] = []
    out: list[Shares] = []
    for crop in asked:
        references = list(reference_set(crop, count))
        order += [engine_doubt.in_order(one) for one in references]
        out += _disordered(references[:disordered])
    known = [_known(entry, order, out) for entry in _listed(asked)]
    return EngineCheck(
        known=tuple(sorted(known, key=lambda one: (-one.share, one.key))),
        crops=asked,
        in_order=_runs(order),
        out_of_order=_runs(out),
    )


def _figures(checked: EngineCheck, language: Language) -> Mapping[str, object]:
    named = [crops.load(crop).name.for_language(language) for crop in checked.crops]
    order, out = checked.in_order, checked.out_of_order
    return {
        "fields": order.count,
        "crops": ", ".join(named),
        "disordered": out.count,
        "total": f"{100 * order.total:.1f}",
        "error": f"{100 * order.error:.1f}",
        "total_out": f"{100 * out.total:.1f}",
        "error_out": f"{100 * out.error:.1f}",
    }


def method(checked: EngineCheck, reader: Reader) -> tuple[str, ...]:
    """How the shares were found and how far they may be off, in sentences."""
    figures = _figures(checked, reader.language)
    return tuple(gettext(text, reader.language) % figures for text in _METHOD)
