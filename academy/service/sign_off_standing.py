"""How a yard sign-off stands: open to entries beyond the safe stop, what is missing.

Signed as done when every critical step and every measured value is right, and of the
steps that are not critical the share of ``content/yard.toml``. Whoever took a list over
must see the safe stop anew: who signs answers for it, and a machine moves on. The other
steps stand, each with the name of who saw it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from academy.catalog import yard
from academy.catalog.yard import Item
from academy.records.queries.sign_offs import Entry, SignOff, TakeOver


@dataclass(frozen=True, slots=True)
class Standing:
    """Whether the safe stop was seen, and what keeps a list from being done.

    ``must`` are items that have to be right and are not; ``more`` is how many of the
    other steps are still needed.
    """

    opened: bool
    must: tuple[str, ...]
    more: int
    right: int
    all: int

    @property
    def complete(self) -> bool:
        """Whether it may be signed as done."""
        return self.opened and not self.must and not self.more


def standing(
    groups: Mapping[str, tuple[Item, ...]], entered: Mapping[str, Entry]
) -> Standing:
    """How the items of a list on a header stand with what was entered."""
    items = [item for each in groups.values() for item in each]
    right = {key for key, entry in entered.items() if entry.right}
    stop = {item.key for item in groups[yard.SAFE_STOP]}
    must = [item.key for item in items if _must(item)]
    rest = [item.key for item in items if not _must(item)]
    seen = sum(key in right for key in rest)
    return Standing(
        opened=stop <= right,
        must=tuple(key for key in must if key not in right),
        more=max(needed(len(rest)) - seen, 0),
        right=sum(item.key in right for item in items),
        all=len(items),
    )


def counted(
    groups: Mapping[str, tuple[Item, ...]],
    entered: Mapping[str, Entry],
    taken: Sequence[TakeOver],
) -> dict[str, Entry]:
    """The entries that count: of the safe stop only those since it was taken over."""
    if not taken:
        return dict(entered)
    stop = {item.key for item in groups[yard.SAFE_STOP]}
    return {
        key: entry
        for key, entry in entered.items()
        if key not in stop or entry.at > taken[-1].at
    }


def leads(kept: SignOff, taken: Sequence[TakeOver]) -> tuple[str, ...]:
    """The ids of everybody who had a list, the first first."""
    return tuple(dict.fromkeys([*(one.from_id for one in taken), kept.lead_id]))


def seen_by(entry: Entry, kept: SignOff, taken: Sequence[TakeOver]) -> str:
    """The id of who had the list when an entry was made."""
    later = (one.from_id for one in taken if entry.at <= one.at)
    return next(later, kept.lead_id)


def _must(item: Item) -> bool:
    return item.critical or item.kind == "measured"


def needed(steps: int) -> int:
    """How many of so many not critical steps have to be right: never fewer."""
    share = yard.rule().si("enough")
    return int(-((-round(share * steps, 9)) // 1))
