"""Rules played without reading, and texts without a twin: on choices of known make."""

from math import sqrt

import pytest

from academy.service import bank_texts
from academy.service.bank_guess import (
    Choice,
    beyond,
    doubt,
    guess,
    guessable,
    guessed,
    positions,
    used,
)

OPTIONS = (("a", "long text here"), ("b", "short"), ("c", "mid text"), ("d", "x"))
CALLS = (("go", "Go on"), ("stop", "Stop at once"))


def _many(keys: str, times: int = 1, place: int = 1) -> list[Choice]:
    return [Choice(place, key, OPTIONS, f"{n}") for n, key in enumerate(keys * times)]


@pytest.mark.parametrize(
    ("guesser", "chosen"),
    [
        ("longest", "a"),
        ("shortest", "d"),
        ("middle", "c"),
        ("third", "c"),
        ("2", "b"),
        ("4", "d"),
    ],
)
def test_guessers_follow_their_rule(guesser: str, chosen: str) -> None:
    assert guess(guesser, Choice(1, "b", OPTIONS)) == chosen


def test_a_difference_that_nobody_sees_is_none() -> None:
    """Of 20, 19 and 17 letters the first two look longest: 18 are nine tenths of 20."""
    options = (("a", "x" * 20), ("b", "x" * 19), ("c", "x" * 17))
    picked = {guess("longest", Choice(1, "a", options, f"{n}")) for n in range(40)}
    assert picked == {"a", "b"}
    assert guess("shortest", Choice(1, "a", (*options, ("d", "x" * 15)))) == "d"


def test_a_guesser_is_weighed_against_chance() -> None:
    # of two choices the longest is right once: 1/2, by chance 1/4
    told = guessed(_many("ad"))
    assert told["longest"] == pytest.approx(0.25)
    assert told["third"] == pytest.approx(-0.25)
    assert guessed([]) == {}


def test_a_place_counts_only_where_it_is() -> None:
    # the second place holds one key of three; by chance 1/4, 1/4 and 1/2
    told = positions([*_many("bd"), Choice(2, "go", CALLS)])
    assert told["2"] == pytest.approx(1 / 3 - 1 / 3)
    assert told["4"] == pytest.approx(1 / 2 - 1 / 4)  # only the two of four options


def test_doubt_is_the_binomial_law() -> None:
    """Hand calculation: 100 choices of four, sqrt(0.25 * 0.75 / 100) = 0.0433."""
    assert doubt(_many("abcd", 25)) == pytest.approx(0.0433, abs=1e-4)
    mixed = [*_many("a"), Choice(2, "go", CALLS)]
    assert doubt(mixed) == pytest.approx(sqrt(3 / 16 + 1 / 4) / 2)


def test_random_hits_like_a_die() -> None:
    """1200 throws: within four standard errors of nothing gained."""
    choices = _many("abcd", 300)
    assert abs(beyond("random", choices)) < 4 * doubt(choices)


def test_the_bound_bites_with_many_draws_and_spares_few() -> None:
    """Longest is right in two of five choices, by chance in one of four.

    It gains 0.15; the bound is 0.05 + 4 * sqrt(0.1875 / n): 0.92 of 4, 0.17 of 200.
    """
    assert guessable(_many("a", 2)) == ""
    assert guessable(_many("aabcd", 40)) == ""
    # in half of 200 choices: gains 0.25
    assert guessable(_many("abac", 50)) == "part 1: longest"


def test_a_key_that_keeps_its_place_is_told() -> None:
    even = (("a", "same"), ("b", "same"), ("c", "same"), ("d", "same"))
    stuck = [Choice(3, "b", even, f"{n}") for n in range(60)]
    assert guessable(stuck) == "part 3: 2"
    turned = [Choice(3, "abcd"[n % 4], even, f"{n}") for n in range(60)]
    assert guessable(turned) == ""


def test_picks_are_counted_by_place_and_by_option() -> None:
    choices = _many("ab")
    told = used([(choices[0], "d"), (choices[1], "a")])
    assert told == {"places": {"1": 1, "4": 1}, "options": {"a": 1, "d": 1}}


def test_a_text_without_its_twin_is_named() -> None:
    english = [
        ("title", "Reel today"),
        ("story", "The wind gets up"),
        ("fact", "42.0 rpm"),
        ("sign", "canola"),
        ("part 1: prompt", "Which way?"),
        ("part 2: prompt", ""),
        ("part 2: sign", ""),
    ]
    spanish = [
        ("title", "Molinete hoy"),
        ("story", "The wind gets up"),  # not translated
        ("fact", "42.0 rpm"),
        ("sign", "canola"),
        ("part 1: prompt", " "),  # empty
        ("part 2: prompt", ""),  # a prompt is never empty
        ("part 2: sign", ""),
        ("part 2: step", "Sobra"),
    ]
    told = bank_texts.missing(english, spanish)
    assert told == ("story", "part 1: prompt", "part 2: prompt", "part 2: step")
