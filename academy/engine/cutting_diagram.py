"""The cutting-pattern diagram: what the knife does to every stem between its ledgers.

The ground is seen from above: ``x`` across from one guard's centre line, ``y`` along
the way, 0 under the knife back at the start of a stroke to the right. Even strokes run
right, odd ones left; two make a cycle, after which everything repeats. Across, the
pattern repeats after as many gaps as the knife has lengths of edge.
"""

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from academy.engine import guard
from academy.errors import OutOfRange

Floats = NDArray[np.float64]
_CYCLE = 2
_MOST_STROKES = 100  # that an edge may need over one stem


@dataclass(frozen=True, slots=True, kw_only=True)
class Knife:
    """One period of a cutterbar in metres.

    ``edges`` are the lengths of the sections' cutting edges along the direction of
    travel, one after the other along the bar and then over again: a single one where
    all sections are alike. A shorter section starts farther back and is as wide at its
    front and at its heel as the others. In register every section ends its strokes over
    a guard; ``register`` is how far to the right of it they end instead.
    """

    pitch: float  # from guard to guard, and from section to section
    stroke: float  # a whole number of pitches
    tip: float  # width of a section at its front
    edges: tuple[float, ...]
    ledger: float  # width of the ledger
    register: float = 0.0

    def __post_init__(self) -> None:
        for name in ("pitch", "stroke", "tip", "ledger"):
            guard.positive(name, getattr(self, name))
        for edge in self.edges or (0.0,):
            guard.positive("edge", edge)
        guard.at_least("pitch", self.pitch, self.tip)
        guard.at_least("pitch", self.pitch, self.ledger)
        guard.at_least("register", -abs(self.register), -self.most_register)
        pitches = float(self.stroke / self.pitch)
        if round(pitches) < 1 or abs(pitches - round(pitches)) > 1e-6 * pitches:
            raise OutOfRange("must_be_whole_pitches", name="stroke", value=pitches)

    @property
    def sections(self) -> int:
        """Sections that cut at the same ledger during one stroke."""
        return round(float(self.stroke / self.pitch))

    @property
    def uniform(self) -> bool:
        """Whether all sections are alike."""
        return len(set(self.edges)) == 1

    @property
    def edge(self) -> float:
        """The longest cutting edge [m]."""
        return max(self.edges)

    @property
    def gaps(self) -> int:
        """Gaps between guards after which the pattern repeats across."""
        return len(self.edges)

    @property
    def most_register(self) -> float:
        """How far out of register edges still reach the ledgers they cut at [m]."""
        return min(self.tip + self.ledger, self.pitch - self.ledger) / 2.0

    def edge_of(self, gap: int, stroke: int, section: int) -> float:
        """Edge of the section that passes a gap in a stroke [m].

        ``section`` counts from the one at the guard behind the gap, against the way.
        """
        last = self.sections - 1
        number = gap - section if stroke % _CYCLE == 0 else gap - last + section
        return self.edges[number % len(self.edges)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagram:
    """Fate of the stems of one cycle, on a grid of rows along and columns across.

    Columns go from gap to gap over the whole period of the knife.
    """

    knife: Knife
    advance: float
    across: Floats  # [m] x of each column
    along: Floats  # [m] y of each row
    passes: NDArray[np.int64]  # how often an edge sweeps the stem's place
    sideways: Floats  # [m] bent along the bar when it is cut
    forward: Floats  # [m] bent ahead when it is cut

    @property
    def bunched(self) -> float:
        """Share of stems that no edge reaches before the knife back bends them."""
        return float(np.mean(self.passes == 0))

    @property
    def once(self) -> float:
        """Share of stems swept by one edge and no other."""
        return float(np.mean(self.passes == 1))

    @property
    def recut(self) -> float:
        """Share of stems whose place is swept again after they were cut."""
        return float(np.mean(self.passes > 1))


@dataclass(frozen=True, slots=True)
class EdgePath:
    """Ground under front and heel of one cutting edge during one stroke [m]."""

    front_x: Floats
    front_y: Floats
    heel_x: Floats
    heel_y: Floats


class _Pass(NamedTuple):
    """One section on its way past a gap, seen along its stroke."""

    knife: Knife
    advance: float
    stroke: int
    section: int
    edge: float

    @property
    def rightward(self) -> bool:
        return self.stroke % _CYCLE == 0

    def axis(self, phase: Floats) -> Floats:
        """Where the section's middle is at ``phase`` (0 to 1) of a harmonic stroke."""
        off = self.knife.register if self.rightward else -self.knife.register
        moved = self.knife.stroke / 2.0 * (1.0 - np.cos(math.pi * phase))
        axis: Floats = moved + (off - self.section * self.knife.pitch)
        return axis

    def ahead(self, y: Floats, phase: Floats) -> Floats:
        """How far the edge has come in the row of each stem [m]."""
        behind = self.edge - (y - self.advance * (self.stroke + phase))
        grown = (self.knife.pitch - self.knife.tip) * behind / self.edge
        front: Floats = self.axis(phase) + (self.knife.tip + grown) / 2.0
        return front

    def sweeps(self, x: Floats, y: Floats) -> NDArray[np.bool_]:
        """Which stems the edge meets on its way: they lie ahead of it, then no more.

        The edge moves ahead over each row all the time that it stands there, so the
        first and the last moment of a row decide.
        """
        across = x if self.rightward else self.knife.pitch - x
        enters = (y - self.edge) / self.advance - self.stroke
        leaves = y / self.advance - self.stroke
        begins = self.ahead(y, np.clip(enters, 0.0, 1.0))
        ends = self.ahead(y, np.clip(leaves, 0.0, 1.0))
        there = (enters <= 1.0) & (leaves >= 0.0)
        met: NDArray[np.bool_] = there & (begins <= across) & (across <= ends)
        return met

    def back(self) -> float:
        """Way of the knife back as the corner behind the edge passes the ledger."""
        knife = self.knife
        off = knife.register if self.rightward else -knife.register
        moved = (self.section + 0.5) * knife.pitch - knife.ledger / 2.0 - off
        phase = math.acos(1.0 - 2.0 * moved / knife.stroke) / math.pi
        return self.advance * (self.stroke + phase)


def _passes(knife: Knife, advance: float, gap: int) -> list[_Pass]:
    """Every section that passes a gap while its stems are cut, in their order."""
    first = -math.ceil(knife.edge / advance) - 1
    return [
        _Pass(knife, advance, stroke, section, knife.edge_of(gap, stroke, section))
        for stroke in range(first, _CYCLE + 1)
        for section in range(knife.sections)
    ]


class _Fates(NamedTuple):
    passes: NDArray[np.int64]
    sideways: Floats
    forward: Floats


def _between(knife: Knife, advance: float, gap: int, x: Floats, y: Floats) -> _Fates:
    """What becomes of the stems of one gap; ``x`` from the guard on its left."""
    each = _passes(knife, advance, gap)
    backs = np.array([one.back() for one in each])
    passes = np.zeros((len(y), len(x)), dtype=np.int64)
    cut_at = np.broadcast_to(np.searchsorted(backs, y)[:, None], passes.shape).copy()
    for place, one in enumerate(each):
        met = one.sweeps(x, y[:, None])
        cut_at[met & (passes == 0)] = place
        passes += met
    rightward = np.array([one.rightward for one in each])[cut_at]
    from_left = x - knife.ledger / 2.0
    to_right = knife.pitch - knife.ledger - from_left
    return _Fates(
        passes=passes,
        sideways=np.where(rightward, to_right, from_left),
        forward=np.maximum(backs[cut_at] - y[:, None], 0.0),
    )


def diagram(
    knife: Knife, advance: float, columns: int = 120, rows: int = 240
) -> Diagram:
    """Cutting-pattern diagram of a knife at one advance per stroke.

    Which stems are cut as they stand, which are bent forward in bunches first, and
    where the knife runs over stubble again; the more of the last two, the worse.

    Parameters
    ----------
    knife : the cutterbar's measures, in metres
    advance : ground covered during one stroke, in metres
    columns, rows : stems across each gap between two ledgers, and along one cycle

    Returns
    -------
    passes and deflection of each stem, and the shares bunched, cut once and recut

    Raises
    ------
    OutOfRange : when the advance is not above zero, or under a hundredth of the edge

    Notes
    -----
    Harmonic stroke, straight edges, stems that stand evenly between two ledgers
    [kinematics]. An edge counts on its way to the ledger where it cuts. A stem that it
    meets slides along it to that ledger; one that no edge meets before the knife back
    arrives goes with the corner between two sections to the next ledger that a corner
    passes. Stems straight ahead of a guard are left out: it parts them to its ledger's
    edges, where bunching is commonest, so of all stems somewhat more are bunched.

    Examples
    --------
    >>> whole = Knife(pitch=0.08, stroke=0.08, tip=0.02, edges=(0.05,), ledger=0.02)
    >>> slow, fast = diagram(whole, 0.02), diagram(whole, 0.2)
    >>> round(slow.bunched, 1), round(fast.bunched, 1)
    (0.0, 0.5)
    """
    guard.positive("advance", advance)
    guard.at_least("advance", advance, knife.edge / _MOST_STROKES)
    room = knife.pitch - knife.ledger
    x = knife.ledger / 2.0 + room * (np.arange(columns) + 0.5) / columns
    y = _CYCLE * advance * (np.arange(rows) + 0.5) / rows
    gaps = range(knife.gaps)
    fates = [_between(knife, advance, gap, x, y) for gap in gaps]
    return Diagram(
        knife=knife,
        advance=advance,
        across=np.concatenate([x + gap * knife.pitch for gap in gaps]),
        along=y,
        passes=np.concatenate([each.passes for each in fates], axis=1),
        sideways=np.concatenate([each.sideways for each in fates], axis=1),
        forward=np.concatenate([each.forward for each in fates], axis=1),
    )


def edge_path(
    knife: Knife,
    advance: float,
    stroke: int,
    section: int,
    phases: Floats,
    gap: int = 0,
) -> EdgePath:
    """Path over the ground of the edge that cuts at a gap's ledger in a stroke.

    ``section`` counts from the one that stands at the guard behind the gap; ``phases``
    run from 0 to 1. Lengths in metres.
    """
    edge = knife.edge_of(gap, stroke, section)
    one = _Pass(knife, advance, stroke, section, edge)
    axis, start = one.axis(phases), gap * knife.pitch
    right = [axis + knife.tip / 2.0, axis + knife.pitch / 2.0]
    front, heel = right if one.rightward else [knife.pitch - x for x in right]
    back = advance * (stroke + phases)
    return EdgePath(start + front, back + edge, start + heel, back)
