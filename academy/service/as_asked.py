"""A family as a stored scenario asks it, though the family may have changed since.

What was asked, its key and its facts lie with the scenario; only title, story and the
words of a part come from content. A part that the family has no more is asked in plain
words, and so is every part of a family that content has no more.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from academy.catalog import families
from academy.catalog.families import Asked, Family
from academy.catalog.toml_files import Twin
from academy.language import gettext, marked

Stored = Mapping[str, Any]
REWRITTEN = marked(
    "This question has been rewritten since; your answer and its score stay."
)
STILL_OPEN = marked(
    "This question has been rewritten since you got it. You may still answer it, and it"
    " counts."
)
_DROPPED = marked("A question that is not asked any more")
_NAMED = ("setting", "computable", "procedure", "situation")
_PLAIN = {
    "set-up": marked("Choose the settings."),
    "direction": marked("Which way would you change it?"),
    "number": marked("Work out the figure."),
    "order": marked("Put the steps in a safe order."),
    "one-change": marked("Which single change helps most?"),
    "find-the-leak": marked("Where is the grain lost?"),
    "inspection": marked("Which of these must be put right?"),
    "read-the-stubble": marked("What left this stubble?"),
    "find-the-cause": marked("What is the cause?"),
    "go-or-stop": marked("Go on, or stop?"),
}


def rewritten(key: str, kept_as: str) -> bool:
    """Whether the family has changed since a part was kept as ``key@version``.

    One that content has no more counts as changed.
    """
    content = families.known().get(key)
    return content is None or kept_as != f"{key}@{content.version}"


def family_of(key: str, payload: Stored) -> Family:
    """The family with the parts that a stored scenario asks."""
    content = families.known().get(key)
    if content is None:
        return _dropped(payload)
    asked = _parts(content.parts, payload["parts"])
    if asked == content.parts:
        return content
    return content.model_copy(update={"parts": asked})


def _dropped(payload: Stored) -> Family:
    """A family that content has no more, as far as the scenario itself tells it."""
    facts = payload["facts"]
    return Family(
        order=0,
        version=1,
        title=Twin(en=_DROPPED, es=gettext(_DROPPED, "es")),
        story=Twin(en=REWRITTEN, es=gettext(REWRITTEN, "es")),
        crop=facts["crop"],
        combine=facts["combine"],
        headers=(facts["header"],),
        parts=_parts((), payload["parts"]),
    )


def _parts(now: Sequence[Asked], stored: Sequence[Stored]) -> tuple[Asked, ...]:
    """For each stored part the family's own, at its place or another, else a plain one.

    None of the family's is taken twice.
    """
    left, found = dict(enumerate(now)), []
    for place, part in enumerate(stored):
        fits = [at for at, asked in left.items() if _fits(asked, part)]
        at = place if place in fits else next(iter(fits), None)
        found.append(_plain(part) if at is None else left.pop(at))
    return tuple(found)


def _fits(asked: Asked, part: Stored) -> bool:
    if (asked.kind, asked.topic) != (part["kind"], part["topic"]):
        return False
    if "controls" in part and list(asked.controls) != list(part["controls"]):
        return False
    return all(getattr(asked, name) == part[name] for name in _NAMED if name in part)


def _plain(part: Stored) -> Asked:
    words = _PLAIN[part["kind"]]
    return Asked(
        kind=part["kind"],
        topic=part["topic"],
        prompt=Twin(en=words, es=gettext(words, "es")),
        controls=tuple(part.get("controls", ())),
        **{name: part[name] for name in _NAMED if name in part},
    )
