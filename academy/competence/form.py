"""Which family fills a slot of an assessment: by lot among those used least."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from academy.scenarios.dice import Dice


def choice(
    eligible: Sequence[str], used: Iterable[str], repeats: int, seed: object
) -> str | None:
    """A family of ``eligible`` that this sitting has used least and may use again.

    ``used`` are the families of the sitting so far, each as often as it came. Same
    arguments, same family; None when every one has come ``repeats`` times.
    """
    counts = Counter(used)
    free = [key for key in sorted(set(eligible)) if counts[key] < repeats]
    if not free:
        return None
    least = min(counts[key] for key in free)
    return Dice("form", seed, sum(counts.values())).one_of(
        [key for key in free if counts[key] == least]
    )


def slot(weights: Mapping[str, int], asked: Sequence[str], seed: object) -> str:
    """The topic of the next scenario after those ``asked``.

    Keeps every topic within one scenario of its share at every length, the least
    stretch of any rule being the earliest deadline first among topics whose turn has
    come (Tijdeman 1980, the chairman assignment problem). Ties are by lot.
    """
    counts, turn, whole = Counter(asked), len(asked) + 1, sum(weights.values())
    deadlines = {
        topic: (whole * (counts[topic] + 1) - 1) // weight
        for topic, weight in weights.items()
        if weight * turn > whole * counts[topic]
    }
    first = min(deadlines.values())
    tied = sorted(topic for topic, last in deadlines.items() if last == first)
    return Dice("slot", seed, turn).one_of(tied)
