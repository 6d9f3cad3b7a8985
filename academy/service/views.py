"""What the front desk hands to the shop window: plain frozen records of shown text."""

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Table:
    """A table in words: caption, head and rows."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """An SVG picture with its title, description and the same data as a table."""

    svg: str
    title: str
    description: str
    table: Table


@dataclass(frozen=True, slots=True)
class FactRow:
    """One stated fact."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class ControlView:
    """One setting to choose, in the reader's unit; numbers as text, ready to type.

    ``ends`` are what may be typed: the exact ends, or those shown where they lie wider;
    those shown when it is empty.
    """

    name: str
    label: str
    unit: str
    unit_word: str
    low: str
    high: str
    step: str
    as_found: str
    ends: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class PartView:
    """One part as it is asked; which of the lists is filled depends on ``kind``."""

    index: int
    kind: str
    topic_name: str
    prompt: str
    sign: str = ""
    controls: tuple[ControlView, ...] = ()
    options: tuple[tuple[str, str], ...] = ()
    units: tuple[tuple[str, str], ...] = ()
    steps: tuple[tuple[str, str], ...] = ()
    findings: tuple[tuple[str, str, str], ...] = ()  # key, name, what it reads
    pictures: tuple[Picture, ...] = ()
    tables: tuple[Table, ...] = ()  # what was measured and seen


@dataclass(frozen=True, slots=True)
class Question:
    """An issued scenario as it is asked."""

    scenario_id: str
    family: str
    title: str
    story: str
    facts: tuple[FactRow, ...]
    parts: tuple[PartView, ...]
    answered: bool
    asks_sure: bool = False  # whether one may say how sure one is
    rewritten: str = ""  # a sentence, when the family has changed since


@dataclass(frozen=True, slots=True)
class HowRow:
    """One figure that can say how it is known."""

    label: str
    value: str
    evidence: str
    source: str
    href: str


@dataclass(frozen=True, slots=True)
class PartExplained:
    """One part after it was answered."""

    index: int
    kind: str
    topic_name: str
    prompt: str
    score: float
    critical_miss: bool
    headline: str
    yours: str
    best: str
    advice: tuple[str, ...] = ()
    thoughts: tuple[str, ...] = ()  # mistaken ones behind the answer, the first few
    more_thoughts: tuple[str, ...] = ()
    pictures: tuple[Picture, ...] = ()
    tables: tuple[Table, ...] = ()
    how: tuple[HowRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Explanation:
    """An answered scenario, explained."""

    scenario_id: str
    family: str
    topic: str
    title: str
    story: str
    facts: tuple[FactRow, ...]
    parts: tuple[PartExplained, ...]
    rewritten: str = ""  # a sentence, when the family has changed since


@dataclass(frozen=True, slots=True)
class FamilyRow:
    """One family that can be practised."""

    key: str
    title: str
    kinds: tuple[str, ...]
    topics: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TopicRow:
    """One topic with its families; a topic without families is shown as still empty."""

    key: str
    name: str
    families: tuple[FamilyRow, ...] = field(default=())
