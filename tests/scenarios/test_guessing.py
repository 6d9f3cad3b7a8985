"""Guessing games on a walk-round: none of them earns more than a thrown coin."""

from collections.abc import Callable, Sequence
from functools import cache

from together import together

from academy.catalog import walk_round
from academy.catalog.families import Asked, known
from academy.grading.ticking import chance_floor, ticking_score
from academy.scenarios.draw import draw

ROUNDS = 300
MARGIN = 0.12  # three standard errors of a mean of 300 scores, and wording at that
Row = Sequence[object]  # key, state, value, unit
PARTS = [
    (key, place, asked)
    for key, family in known().items()
    for place, asked in enumerate(family.parts, start=1)
    if asked.kind == "inspection"
]


@cache
def _drawn(key: str, place: int) -> list[list[Row]]:
    return [draw(key, known()[key], seed)[f"part.{place}"] for seed in range(ROUNDS)]


def _words(row: Row, language: str) -> str:
    finding = walk_round.load()[str(row[0])]
    words = finding.faulty if row[1] == "bad" else finding.fine
    return words.for_language(language) if words else f"{row[2]} {row[3]}"


def _half(rows: list[Row], language: str, longest: bool) -> set[str]:
    ranked = sorted(rows, key=lambda row: len(_words(row, language)), reverse=longest)
    return {str(row[0]) for row in ranked[: len(rows) // 2]}


GUESSES: dict[str, Callable[[list[Row], str], set[str]]] = {
    "the longer half": lambda rows, lang: _half(rows, lang, longest=True),
    "the shorter half": lambda rows, lang: _half(rows, lang, longest=False),
    "the first half": lambda rows, _: {str(row[0]) for row in rows[: len(rows) // 2]},
    "everything": lambda rows, _: {str(row[0]) for row in rows},
    "nothing": lambda _rows, _lang: set(),
}


def _score(rows: list[Row], ticked: set[str]) -> tuple[float, float]:
    """Score of the guess, and what a coin would earn."""
    bad = {row[0] for row in rows if row[1] == "bad"}
    good = {row[0] for row in rows if row[1] == "good"}
    hits, false = len(bad & ticked), len(good & ticked)
    won = ticking_score(hits, len(bad), false, len(good))
    return won, chance_floor(len(bad), len(good))


@together("language", ["en", "es"])
@together("guess", GUESSES)
@together("key, place, asked", PARTS, ids=[f"{key}-{n}" for key, n, _ in PARTS])
def test_no_guess_beats_the_coin(
    key: str, place: int, asked: Asked, guess: str, language: str
) -> None:
    del asked
    drawn = _drawn(key, place)
    scores = [_score(rows, GUESSES[guess](rows, language)) for rows in drawn]
    won, coin = (sum(column) / ROUNDS for column in zip(*scores, strict=True))
    assert won <= coin + MARGIN
    if guess in ("everything", "nothing"):
        assert won == 0


@together("key, place, asked", PARTS, ids=[f"{key}-{n}" for key, n, _ in PARTS])
def test_every_finding_of_a_part_turns_up_fine_and_faulty(
    key: str, place: int, asked: Asked
) -> None:
    seen = {(row[0], row[1]) for rows in _drawn(key, place) for row in rows}
    assert seen == {(n, state) for n in asked.findings for state in ("bad", "good")}
