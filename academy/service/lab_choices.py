"""How many of a group chose what, the right answer told, and the thoughts behind."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from academy.drawing.share_bars import ShareItem, share_bars
from academy.language import Reader, gettext, marked
from academy.scenarios.facts import Facts
from academy.service import misconceptions
from academy.service.pictures import picture
from academy.service.views import PartView, Picture

_REASONS = {
    "full": marked("right"),
    "partly": marked("partly right"),
    "close": marked("close, but not within the tolerance"),
    "unit_slip": marked("one unit mistaken"),
    "far_off": marked("another figure"),
    "worse_than_found": marked("worse than the machine as found"),
    "limit_broken": marked("a hard limit broken"),
}
_OTHER = marked("not right")
_RIGHT = marked("%(answer)s (right)")
_RIGHT_FOR_SOME = marked("%(answer)s (right for %(count)s of them)")
_OF = marked("%(count)s of %(all)s")
_SAFE = marked("every step in a safe order (right)")
_TURNED = marked("“%(last)s” before “%(first)s”")
_UNSAFE = marked("%(pair)s: this alone can hurt or kill")


@dataclass(frozen=True, slots=True)
class Given:
    """One answer to a part, with the part as it was asked of that person."""

    part: Mapping[str, Any]
    facts: Facts
    view: PartView
    answer: Mapping[str, Any]
    marks: Mapping[str, Any]

    @property
    def right(self) -> bool:
        """Whether it is right in full."""
        return bool(self.marks["reason"] == "full")


Counts = dict[str, int]


def counts_picture(given: Sequence[Given], reader: Reader, ids: str) -> Picture:
    """Bars of how many chose what; the right one is told by its words."""
    say = reader.language
    told = _TOLD.get(given[0].part["kind"], _by_reason)(given, reader)
    of = gettext(_OF, say)
    items = [
        ShareItem(label, of % {"count": count, "all": len(given)}, float(count))
        for label, count in told.items()
    ]
    words = {
        "title": gettext(marked("How many answered what"), say),
        "description": gettext(marked("One bar for each answer."), say),
        "setting": gettext(marked("Answer given"), say),
        "share": gettext(marked("People"), say),
    }
    bars = share_bars(items, words, f"{ids}-counts", most=float(len(given)))
    return picture(bars, words["title"])


def thoughts(given: Sequence[Given], reader: Reader) -> tuple[tuple[str, int], ...]:
    """Mistaken thoughts and behind how many answers they stand; the commonest first."""
    met: Counter[str] = Counter()
    for one in given:
        met.update(misconceptions.met(one.part, one.facts, one.answer, one.marks))
    found = [(misconceptions.thought(key), count) for key, count in met.most_common()]
    return tuple(
        (text.for_language(reader.language), count) for text, count in found if text
    )


def _chosen(answer: Mapping[str, Any]) -> str:
    return str(answer["way"] if "way" in answer else answer["choice"])


def _by_option(given: Sequence[Given], reader: Reader) -> Counts:
    """Every option that was offered to somebody, the right one in a word."""
    labels: dict[str, str] = {}
    for one in given:
        labels = dict(one.view.options) | labels
    counts = Counter(_chosen(one.answer) for one in given)
    keys = Counter(one.part["key"] for one in given)
    right = {key: keys[key] == len(given) for key in labels}
    told = {}
    for key, label in labels.items():
        words = label
        if right[key]:
            words = gettext(_RIGHT, reader.language) % {"answer": label}
        elif keys[key]:
            values = {"answer": label, "count": keys[key]}
            words = gettext(_RIGHT_FOR_SOME, reader.language) % values
        told[words] = counts[key]
    return told


def _by_finding(given: Sequence[Given], reader: Reader) -> Counts:
    """Who ticked what; a finding that must be put right is told as right."""
    told: Counts = {}
    for one in given:
        for key, name, reads in one.view.findings:
            words = f"{name}: {reads}"
            if key in one.part["bad"]:
                words = gettext(_RIGHT, reader.language) % {"answer": words}
            told[words] = told.get(words, 0) + (key in one.answer["ticked"])
    return told


def _by_pair(given: Sequence[Given], reader: Reader) -> Counts:
    """Which pairs of steps were turned round, the commonest first."""
    turned = Counter(words for one in given for words in _turned(one, reader))
    safe = gettext(_SAFE, reader.language)
    return {safe: sum(one.right for one in given)} | dict(turned.most_common())


def _turned(one: Given, reader: Reader) -> Iterator[str]:
    texts, critical = dict(one.view.steps), [tuple(p) for p in one.part["critical"]]
    for first, last in one.marks["detail"]["reversed"]:
        pair = {"first": texts[first], "last": texts[last]}
        words = gettext(_TURNED, reader.language) % pair
        alone = (first, last) in critical
        yield gettext(_UNSAFE, reader.language) % {"pair": words} if alone else words


def _by_reason(given: Sequence[Given], reader: Reader) -> Counts:
    counts = Counter(_REASONS.get(one.marks["reason"], _OTHER) for one in given)
    return {gettext(words, reader.language): n for words, n in counts.most_common()}


def _told(given: Sequence[Given], reader: Reader) -> Counts:
    tell = _by_option if given[0].view.options else _by_reason
    return tell(given, reader)


_TOLD: Mapping[str, Callable[[Sequence[Given], Reader], Counts]] = {
    "direction": _told,
    "one-change": _told,
    "find-the-leak": _told,
    "read-the-stubble": _told,
    "find-the-cause": _told,
    "go-or-stop": _told,
    "inspection": _by_finding,
    "order": _by_pair,
}
