"""Choices played by rule, without reading: does a rule hit the key too often?

``longest`` and ``shortest`` look at the texts in each language; of those within a tenth
of the extreme, whose difference nobody sees, a die takes one. ``middle``, ``third`` and
the places count from the top, and ``random`` is the control: it can only be lucky. A
direction is listed lower, leave it, higher, so the middle one is its middle value.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean

from academy.scenarios.dice import Dice

GUESSERS = ("longest", "shortest", "middle", "third", "random")
ERRORS = 4.0  # standard errors: by luck alone once in about 30 000 tries
SEEN = 0.1  # share of the length from which on a text looks longer (judgement)
MARGIN = 0.05  # what a rule may gain; keys are drawn from a few signs each
Options = Sequence[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Choice:
    """One part that is chosen: its place, its key, its options in one language."""

    place: int
    key: str
    options: Options
    name: str = ""  # of the scenario, for the dice

    @property
    def chance(self) -> float:
        """How often a thrown die hits the key."""
        return 1.0 / len(self.options)


def _look(guesser: str, lengths: Sequence[int]) -> list[int]:
    """Indices that a rule cannot tell from the one it looks for."""
    if guesser == "longest":
        least = max(lengths) * (1.0 - SEEN)
        return [at for at, length in enumerate(lengths) if length >= least]
    if guesser == "shortest":
        most = min(lengths) * (1.0 + SEEN)
        return [at for at, length in enumerate(lengths) if length <= most]
    places = {"middle": len(lengths) // 2, "third": min(2, len(lengths) - 1)}
    if guesser in places:
        return [places[guesser]]
    return [int(guesser) - 1] if guesser.isdecimal() else list(range(len(lengths)))


def guess(guesser: str, choice: Choice) -> str:
    """The option that a rule picks; a number is a place from 1."""
    alike = _look(guesser, [len(text) for _, text in choice.options])
    dice = Dice("guess", guesser, choice.name, choice.place)
    return str(choice.options[dice.one_of(alike)][0])


def beyond(guesser: str, choices: Sequence[Choice]) -> float:
    """How much oftener than by chance a rule hits the key."""
    hits = fmean(guess(guesser, one) == one.key for one in choices)
    return hits - fmean(one.chance for one in choices)


def doubt(choices: Sequence[Choice]) -> float:
    """Standard error of the share that a thrown die hits, by the binomial law."""
    return sqrt(sum(one.chance * (1.0 - one.chance) for one in choices)) / len(choices)


def _with_place(place: str, choices: Sequence[Choice]) -> list[Choice]:
    return [one for one in choices if len(one.options) >= int(place)]


def _places(choices: Sequence[Choice]) -> list[str]:
    most = max((len(one.options) for one in choices), default=0)
    return [str(place) for place in range(1, most + 1)]


def guessed(choices: Sequence[Choice]) -> dict[str, float]:
    """Gain over chance of each rule; empty without choices."""
    return {name: beyond(name, choices) for name in GUESSERS if choices}


def positions(choices: Sequence[Choice]) -> dict[str, float]:
    """How much oftener than by chance the key stands at each place from the top."""
    return {
        place: beyond(place, _with_place(place, choices)) for place in _places(choices)
    }


def _clearly(choices: Sequence[Choice]) -> Iterator[str]:
    """Rules that hit clearly oftener than a die would in so many choices."""
    gains = guessed(choices) | positions(choices)
    for rule, gain in gains.items():
        played = _with_place(rule, choices) if rule.isdecimal() else choices
        if gain > ERRORS * doubt(played) + MARGIN:
            yield rule


def guessable(choices: Sequence[Choice]) -> str:
    """Which part a rule solves, such as ``part 2: longest``; empty when none does.

    Each part is looked at by itself, and then all of them together.
    """
    for place in sorted({one.place for one in choices}):
        for rule in _clearly([one for one in choices if one.place == place]):
            return f"part {place}: {rule}"
    return next((f"all parts: {rule}" for rule in _clearly(choices)), "")


def used(picks: Sequence[tuple[Choice, str]]) -> dict[str, dict[str, int]]:
    """How often each place and each option was picked."""
    places, options = Counter[str](), Counter[str]()
    for choice, picked in picks:
        keys = [key for key, _ in choice.options]
        places[str(keys.index(picked) + 1)] += 1
        options[picked] += 1
    return {
        "places": dict(sorted(places.items())),
        "options": dict(sorted(options.items())),
    }


def option_use(
    choices: Sequence[Choice], policies: Mapping[str, Sequence[str]]
) -> dict[str, dict[str, dict[str, int]]]:
    """Places and options by who picks: the key, each rule, each fixed policy.

    ``policies`` gives what a policy picks of each choice, empty where it does not say.
    """
    found = {"key": used([(one, one.key) for one in choices])}
    for rule in GUESSERS:
        found[rule] = used([(one, guess(rule, one)) for one in choices])
    for policy, picks in policies.items():
        pairs = [pair for pair in zip(choices, picks, strict=True) if pair[1]]
        found[policy] = used(pairs)
    return found
