"""The error rates in the reader's words: tables, curves and what they do not say."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import NormalDist

from academy.catalog import blueprints
from academy.catalog.error_rates import Rates, Run, Wrong
from academy.drawing.operating_curve import CurveView, operating_curve
from academy.language import Language, Reader, gettext, marked, number, show_date
from academy.service import error_rates
from academy.service.certification_run import ABOVE, BELOW, LINE, WORLDS
from academy.service.house import House
from academy.service.pictures import picture
from academy.service.views import Picture, Table

MOST_PASSED, MOST_FAILED = 0.02, 0.10  # what is aimed at
SPREAD = 1.2  # of people around the line, logits
_WORLDS: Mapping[str, str] = {
    "easier": marked("Questions easier than believed"),
    "harder": marked("Questions harder than believed"),
    "clones": marked("Draws of a family less alike"),
    "correlated": marked("Parts of a scenario more alike"),
    "lost_scored": marked("1 in 20 lost and scored 0: never done"),
    "lost_replaced": marked("1 in 20 lost and asked again: as it is done"),
}
_CLEARLY_BELOW = marked("Clearly below the line, but passed")
_CLEARLY_ABOVE = marked("Clearly above the line, but failed")


@dataclass(frozen=True, slots=True)
class CertificateTold:
    """One certificate: its errors, its curve, the gate and the stress runs.

    ``holders`` in a hundred holders, when people spread around the line, are truly
    below it, and ``clearly`` clearly below.
    """

    key: str
    title: str
    errors: Table
    curve: Picture
    gate: Table
    stress: Table | None
    missed: bool
    on_line: str
    holders: str
    clearly: str


@dataclass(frozen=True, slots=True)
class RunTold:
    """The newest run: when, how many, with which bank, and every certificate."""

    day: str
    people: str
    bank: str
    engine: str
    current: bool  # whether the bank is still the one that was run
    overview: Table
    certificates: tuple[CertificateTold, ...]


def told(house: House, reader: Reader) -> RunTold | None:
    """The newest run in the reader's words; None before any."""
    run = error_rates.newest(house.instance)
    return None if run is None else _run(run, reader)


def _run(run: Run, reader: Reader) -> RunTold:
    language = reader.language
    known = blueprints.known()
    shown = [one for one in run.certificates if one.key in known]
    return RunTold(
        day=show_date(run.day, language),
        people=number(run.people, 0, language),
        bank=run.bank,
        engine=str(run.engine),
        current=run.bank == error_rates.bank(),
        overview=_overview(shown, language),
        certificates=tuple(_certificate(one, language) for one in shown),
    )


def _title(key: str, language: Language) -> str:
    return blueprints.load(key).title.for_language(language)


def percent(share: float, language: Language) -> str:
    """A share in per cent with one decimal, as it is written."""
    return f"{number(100 * share, 1, language)} %"


def _span(low: float, high: float, language: Language) -> str:
    return f"{number(100 * low, 1, language)} – {percent(high, language)}"


def _table(
    caption: str, head: tuple[str, ...], rows: Sequence[tuple[str, ...]]
) -> Table:
    return Table(caption, head, tuple(rows))


def _overview(shown: list[Rates], language: Language) -> Table:
    def say(text: str) -> str:
        return gettext(text, language)

    head = (
        say(marked("Certificate")),
        say(marked("Wrongly passed")),
        say(marked("Wrongly failed")),
        say(marked("Scenarios")),
    )
    rows = [
        (
            _title(one.key, language),
            percent(one.false_pass, language),
            percent(one.false_fail, language),
            number(one.mean_length, 1, language),
        )
        for one in shown
    ]
    return _table(say(marked("All certificates")), head, rows)


def _certificate(one: Rates, language: Language) -> CertificateTold:
    below, clearly = _holders(one)
    return CertificateTold(
        key=one.key,
        title=_title(one.key, language),
        errors=_errors(one, language),
        curve=_curve(one, language),
        gate=_gate(one, language),
        stress=_stress(one.stress, language) if one.stress else None,
        missed=one.false_pass > MOST_PASSED or one.false_fail > MOST_FAILED,
        on_line=percent(one.pass_on_line, language),
        holders=percent(below, language),
        clearly=percent(clearly, language),
    )


def _errors(one: Rates, language: Language) -> Table:
    def say(text: str) -> str:
        return gettext(text, language)

    rows = [
        (
            say(_CLEARLY_BELOW),
            percent(one.false_pass, language),
            _span(one.false_pass_low, one.false_pass_high, language),
        ),
        (
            say(_CLEARLY_ABOVE),
            percent(one.false_fail, language),
            _span(one.false_fail_low, one.false_fail_high, language),
        ),
        (
            say(marked("Right on the line, and passed")),
            percent(one.pass_on_line, language),
            _span(one.pass_on_line_low, one.pass_on_line_high, language),
        ),
    ]
    head = (
        say(marked("People")),
        say(marked("Share")),
        say(marked("Limits of chance, 95 %")),
    )
    return _table(say(marked("How often the rule errs")), head, rows)


def _curve(one: Rates, language: Language) -> Picture:
    def say(text: str) -> str:
        return gettext(text, language)

    levels = [level for level, _ in one.curve]
    shares = [share for _, share in one.curve]
    named = {
        BELOW: say(marked("clearly below")),
        LINE: say(marked("the line")),
        ABOVE: say(marked("clearly above")),
    }
    words = {
        "title": say(marked("Who passes")),
        "description": say(
            marked(
                "Share of simulated people who pass, against how far they truly "
                "stand from the line."
            )
        ),
        "y": say(marked("Share who pass")),
        "step": say(marked("dashed: a test that never errs")),
        "level": say(marked("Distance from the line")),
        "share": say(marked("Share who pass")),
    }
    known = dict(one.curve)
    dots = [level for level in named if level in known]
    drawn = operating_curve(
        CurveView(levels, shares, dots),
        words,
        [(level, named[level]) for level in dots],
        [percent(known[level], language) for level in dots],
        [
            (number(level, 2, language), percent(share, language))
            for level, share in one.curve
        ],
        f"curve-{one.key}",
    )
    return picture(drawn, words["title"])


def _gate(one: Rates, language: Language) -> Table:
    def say(text: str) -> str:
        return gettext(text, language)

    rows = [
        (
            percent(each.safe, language),
            percent(each.through, language),
            percent(each.exact, language),
        )
        for each in one.gate
    ]
    head = (
        say(marked("Safe answers of a person")),
        say(marked("Came through")),
        say(marked("By exact count")),
    )
    return _table(say(marked("The safety gate")), head, rows)


def _stress(stress: Mapping[str, Wrong], language: Language) -> Table:
    def say(text: str) -> str:
        return gettext(text, language)

    rows = [
        (
            say(_WORLDS[name]),
            percent(stress[name].false_pass, language),
            percent(stress[name].false_fail, language),
        )
        for name in WORLDS
        if name in stress
    ]
    head = (
        say(marked("If")),
        say(marked("Wrongly passed")),
        say(marked("Wrongly failed")),
    )
    return _table(say(marked("Where the bank is mistaken")), head, rows)


def _holders(one: Rates) -> tuple[float, float]:
    """Shares of the holders truly below the line and clearly below it.

    People spread around the line by ``SPREAD``; between the levels that were run the
    curve is taken as straight, beyond them as nobody or everybody.
    """
    bell, steps = NormalDist(0.0, SPREAD), 400
    total = below = clearly = 0.0
    for k in range(steps):
        level = bell.inv_cdf((k + 0.5) / steps)
        passing = _share_at(one, level)
        total += passing
        below += passing * (level < LINE)
        clearly += passing * (level < BELOW)
    return (below / total, clearly / total) if total else (0.0, 0.0)


def _share_at(one: Rates, level: float) -> float:
    curve = one.curve
    if level <= curve[0][0]:
        return 0.0
    for (left, low), (right, high) in pairwise(curve):
        if level <= right:
            return low + (high - low) * (level - left) / (right - left)
    return 1.0
