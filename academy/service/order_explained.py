"""An order of steps explained: the nearest safe order, move by move, and why.

The nearest order is the one in which the fewest of one's own steps move; each step that
must move is told with its two places and with the pairs it had the wrong way round.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from academy.catalog import procedures, sources
from academy.catalog.procedures import Precedence, Procedure
from academy.grading.fewest_moves import fewest_moved, kept_steps
from academy.language import Reader, gettext, marked
from academy.records.queries.answers import Answer
from academy.scenarios.facts import Facts
from academy.service.evidence_words import EVIDENCE
from academy.service.views import HowRow, Table

_PAIR = marked("“%(first)s” comes before “%(last)s”: %(why)s.")
_ALONE = marked("Turned round, this pair alone fails the answer: it can hurt or kill.")
_KEPT = marked("%(kept)s of your %(all)s steps keep their order; %(moved)s must move.")
_MOVE = marked("Move “%(step)s” from place %(own)s to place %(new)s.")
_PASSED = marked("“%(step)s” keeps place %(new)s; other steps move past it.")
_NEVER = marked("Never: %(deed)s.")
_STAYS, _MOVED = marked("stays"), marked("moved here from place %(own)s")
_PASSED_HERE = marked("others move past it")
_HEAD = (
    marked("Place"),
    marked("Your order"),
    marked("Nearest safe order"),
    marked("What moves"),
)


def _texts(procedure: Procedure, reader: Reader) -> dict[str, str]:
    return {s.key: s.text.for_language(reader.language) for s in procedure.steps}


def _why(pair: Precedence, texts: Mapping[str, str], reader: Reader) -> str:
    said = gettext(_PAIR, reader.language) % {
        "first": texts[pair.before],
        "last": texts[pair.after],
        "why": pair.why.for_language(reader.language),
    }
    alone = gettext(_ALONE, reader.language)
    return f"{said} {alone}" if pair.critical else said


def _moves(
    procedure: Procedure,
    wrong: set[tuple[str, str]],
    moves: Mapping[str, tuple[int, int]],
    reader: Reader,
) -> Iterator[str]:
    """Each move, and after it the turned pairs that it puts right."""
    texts = _texts(procedure, reader)
    turned = [p for p in procedure.precedences if (p.before, p.after) in wrong]
    for step, (own, new) in moves.items():
        place = {"step": texts[step], "own": own, "new": new}
        yield gettext(_PASSED if own == new else _MOVE, reader.language) % place
        for pair in [p for p in turned if step in (p.before, p.after)]:
            turned.remove(pair)
            yield _why(pair, texts, reader)
    for pair in turned:  # of an answer to a procedure that has pairs added since
        yield _why(pair, texts, reader)


def never(procedure: Procedure, reader: Reader) -> Iterator[str]:
    """What is never done, deed by deed."""
    words = gettext(_NEVER, reader.language)
    for deed in procedure.never:
        yield words % {"deed": deed.for_language(reader.language)}


def _moved(move: tuple[int, int] | None, reader: Reader) -> str:
    if move is None:
        return gettext(_STAYS, reader.language)
    own, new = move
    words = _PASSED_HERE if own == new else _MOVED
    return gettext(words, reader.language) % {"own": own}


def _orders(
    procedure: Procedure,
    yours: Sequence[str],
    nearest: Sequence[str],
    moves: Mapping[str, tuple[int, int]],
    reader: Reader,
) -> Table:
    texts = _texts(procedure, reader)
    rows = tuple(
        (str(place), texts[own], texts[right], _moved(moves.get(right), reader))
        for place, (own, right) in enumerate(zip(yours, nearest, strict=True), 1)
    )
    head = tuple(gettext(word, reader.language) for word in _HEAD)
    return Table(procedure.title.for_language(reader.language), head, rows)


def why_rows(procedure: Procedure, reader: Reader) -> tuple[HowRow, ...]:
    """Every pair that matters, why it does and how we know."""
    texts = _texts(procedure, reader)
    return tuple(
        HowRow(
            f"{texts[pair.before]} → {texts[pair.after]}",
            pair.why.for_language(reader.language),
            gettext(EVIDENCE[pair.evidence], reader.language),
            sources.load()[pair.source].called(reader.language),
            f"/how/source/{pair.source}",
        )
        for pair in procedure.precedences
    )


def _kept(kept: int, count: int, reader: Reader) -> tuple[str, ...]:
    if kept == count:
        return ()
    counts = {"kept": kept, "all": count, "moved": count - kept}
    return (gettext(_KEPT, reader.language) % counts,)


def explained(
    part: Mapping[str, Any], facts: Facts, kept: Answer, reader: Reader, ids: str
) -> dict[str, Any]:
    """The shown fields of an answered order of steps."""
    del facts, ids
    procedure = procedures.known()[part["procedure"]]
    yours = list(kept.answer["order"])
    pairs = [(first, last) for first, last in part["pairs"]]
    nearest, staying = fewest_moved(yours, pairs), kept_steps(yours, pairs)
    moves = {
        step: (yours.index(step) + 1, place)
        for place, step in enumerate(nearest, start=1)
        if step not in staying
    }
    wrong = {(first, last) for first, last in kept.marks["detail"]["reversed"]}
    return {
        "yours": "",
        "best": "",
        "advice": (
            *_kept(len(staying), len(yours), reader),
            *_moves(procedure, wrong, moves, reader),
            *never(procedure, reader),
        ),
        "tables": (_orders(procedure, yours, nearest, moves, reader),),
        "how": why_rows(procedure, reader),
    }
