"""The cutting-pattern diagram: what the knife does to every stem between two ledgers.

The ground is seen from above: ``x`` across from one guard's centre line to the next,
``y`` along the way, 0 under the knife back at the start of a stroke to the right. Even
strokes run right, odd ones left; two make a cycle, after which everything repeats.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from academy.engine import guard
from academy.errors import OutOfRange

Floats = NDArray[np.float64]
_CYCLE = 2
_MOST_STROKES = 100  # that an edge may need over one stem


@dataclass(frozen=True, slots=True, kw_only=True)
class Knife:
    """One pitch of a cutterbar in metres; each section ends its stroke over a guard."""

    pitch: float  # from guard to guard, and from section to section
    stroke: float  # a whole number of pitches
    tip: float  # width of a section at its front
    edge: float  # length of its cutting edge along the direction of travel
    ledger: float  # width of the ledger

    def __post_init__(self) -> None:
        for name in ("pitch", "stroke", "tip", "edge", "ledger"):
            guard.positive(name, getattr(self, name))
        guard.at_least("pitch", self.pitch, self.tip)
        guard.at_least("pitch", self.pitch, self.ledger)
        pitches = float(self.stroke / self.pitch)
        if round(pitches) < 1 or abs(pitches - round(pitches)) > 1e-6 * pitches:
            raise OutOfRange("must_be_whole_pitches", name="stroke", value=pitches)

    @property
    def sections(self) -> int:
        """Sections that cut at the same ledger during one stroke."""
        return round(float(self.stroke / self.pitch))


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagram:
    """Fate of the stems of one cycle, on a grid of rows along and columns across."""

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


def _moved(knife: Knife, phase: Floats) -> Floats:
    """How far the knife has come at ``phase`` (0 to 1) of a harmonic stroke [m]."""
    moved: Floats = knife.stroke / 2.0 * (1.0 - np.cos(math.pi * phase))
    return moved


def _half_width(knife: Knife, behind: Floats) -> Floats:
    """Half the width of a section ``behind`` metres behind its front [m]."""
    grown: Floats = (knife.pitch - knife.tip) * behind / knife.edge
    return (knife.tip + grown) / 2.0


def _ahead(
    knife: Knife, advance: float, y: Floats, stroke: int, section: int, phase: Floats
) -> Floats:
    """How far a section's edge stands to the right, in the row of each stem [m]."""
    behind_front = knife.edge - (y - advance * (stroke + phase))
    axis = _moved(knife, phase) - section * knife.pitch
    return axis + _half_width(knife, behind_front)


def _sweeps(
    knife: Knife, advance: float, x: Floats, y: Floats, stroke: int, section: int
) -> NDArray[np.bool_]:
    """Which stems the edge meets on its way: they lie ahead of it, then no more.

    The edge moves ahead over each row all the time that it stands there, so the first
    and the last moment of a row decide.
    """
    across = x if stroke % _CYCLE == 0 else knife.pitch - x
    enters = (y - knife.edge) / advance - stroke
    leaves = y / advance - stroke
    first, last = np.clip(enters, 0.0, 1.0), np.clip(leaves, 0.0, 1.0)
    begins = _ahead(knife, advance, y, stroke, section, first)
    ends = _ahead(knife, advance, y, stroke, section, last)
    there = (enters <= 1.0) & (leaves >= 0.0)
    met: NDArray[np.bool_] = there & (begins <= across) & (across <= ends)
    return met


def _cuts(knife: Knife, advance: float) -> Iterator[tuple[int, int, float]]:
    """Stroke, section and way of the knife back at each cut, in their order.

    Stems in the corner between two sections are cut when it passes the ledger.
    """
    first = -math.ceil(knife.edge / advance) - 1
    for stroke in range(first, _CYCLE + 1):
        for section in range(knife.sections):
            moved = (section + 0.5) * knife.pitch - knife.ledger / 2.0
            phase = math.acos(1.0 - 2.0 * moved / knife.stroke) / math.pi
            yield stroke, section, advance * (stroke + phase)


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
    columns, rows : stems across the gap between two ledgers, and along one cycle

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
    >>> whole = Knife(pitch=0.08, stroke=0.08, tip=0.02, edge=0.05, ledger=0.02)
    >>> slow, fast = diagram(whole, 0.02), diagram(whole, 0.2)
    >>> round(slow.bunched, 1), round(fast.bunched, 1)
    (0.0, 0.5)
    """
    guard.positive("advance", advance)
    guard.at_least("advance", advance, knife.edge / _MOST_STROKES)
    gap = knife.pitch - knife.ledger
    x = knife.ledger / 2.0 + gap * (np.arange(columns) + 0.5) / columns
    y = _CYCLE * advance * (np.arange(rows) + 0.5) / rows
    cuts = list(_cuts(knife, advance))
    backs = np.array([back for _, _, back in cuts])
    passes = np.zeros((rows, columns), dtype=np.int64)
    cut_at = np.broadcast_to(np.searchsorted(backs, y)[:, None], passes.shape).copy()
    for place, (stroke, section, _) in enumerate(cuts):
        met = _sweeps(knife, advance, x, y[:, None], stroke, section)
        cut_at[met & (passes == 0)] = place
        passes += met
    rightward = np.array([stroke % _CYCLE == 0 for stroke, _, _ in cuts])[cut_at]
    from_left = x - knife.ledger / 2.0
    return Diagram(
        knife=knife,
        advance=advance,
        across=x,
        along=y,
        passes=passes,
        sideways=np.where(rightward, gap - from_left, from_left),
        forward=np.maximum(backs[cut_at] - y[:, None], 0.0),
    )


def edge_path(
    knife: Knife, advance: float, stroke: int, section: int, phases: Floats
) -> EdgePath:
    """Path over the ground of the edge that cuts at this gap's ledger in a stroke.

    ``section`` counts from the one that stands at the guard behind the gap; ``phases``
    run from 0 to 1. Lengths in metres.
    """
    axis = _moved(knife, phases) - section * knife.pitch
    right = [axis + knife.tip / 2.0, axis + knife.pitch / 2.0]
    front, heel = right if stroke % _CYCLE == 0 else [knife.pitch - x for x in right]
    back = advance * (stroke + phases)
    return EdgePath(front, back + knife.edge, heel, back)
