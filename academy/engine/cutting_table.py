"""The cutting-pattern diagram as a table: what any pace does to the stems, at once.

The stem-by-stem diagram of a knife is made at a few advances, kept, and read between
them; every other advance then costs no more than a look into the table. Rows are made
when they are first looked at.
"""

from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from academy.engine import guard
from academy.engine.cutting_diagram import Knife, diagram
from academy.engine.si import Metre, Ratio

_KNOTS = np.linspace(0.04, 0.96, 116)  # of advance over advance and edge together
_COLUMNS, _ROWS = 100, 200
_STEPS = 4  # out of register, from none to the most


class Cut(NamedTuple):
    """Fate of the stems at one advance, or at each of many."""

    bunched: Ratio
    once: Ratio
    recut: Ratio
    aside: Metre  # bent along the bar at the cut, root of the mean square
    ahead: Metre  # bent forward at the cut, root of the mean square


class CuttingTable(NamedTuple):
    """Rows of a knife's diagram by advance over advance and edge together."""

    knots: NDArray[np.float64]
    bunched: NDArray[np.float64]
    recut: NDArray[np.float64]
    aside: NDArray[np.float64]  # mean square [m^2]
    ahead: NDArray[np.float64]  # mean square over the square of the advance


@lru_cache(maxsize=8192)
def _row(knife: Knife, place: int) -> tuple[float, float, float, float]:
    """One row of the table: bunched, recut, mean squares."""
    knot = _KNOTS[place]
    advance = float(knife.edge * knot / (1.0 - knot))
    made = diagram(knife, advance, _COLUMNS, _ROWS)
    aside, ahead = np.mean(made.sideways**2), np.mean((made.forward / advance) ** 2)
    return made.bunched, made.recut, float(aside), float(ahead)


def _rows(knife: Knife, first: int, last: int) -> CuttingTable:
    rows = [_row(knife, place) for place in range(first, last)]
    return CuttingTable(_KNOTS[first:last], *np.array(rows).T)


@lru_cache(maxsize=64)
def cutting_table(knife: Knife) -> CuttingTable:
    """The diagram of a knife, from a creeping machine to a flying one.

    Below the first row nothing is bunched and all is recut; above the last one, at 24
    edges a stroke, little changes any more.
    """
    return _rows(knife, 0, len(_KNOTS))


def _about(knife: Knife, at: Ratio) -> CuttingTable:
    """What of the table is needed: for one pace the two rows that it lies between."""
    if np.ndim(at):
        return cutting_table(knife)
    last = int(np.clip(np.searchsorted(_KNOTS, at), 1, len(_KNOTS) - 1)) + 1
    return _rows(knife, last - 2, last)


def _read(knife: Knife, advance: Metre) -> NDArray[np.float64]:
    """Rows of the table at each advance: bunched, recut, mean squares."""
    at = advance / (advance + knife.edge)
    table = _about(knife, at)
    return np.stack([np.interp(at, table.knots, column) for column in table[1:]])


def _out_of_register(
    knife: Knife, advance: Metre, register: Metre
) -> NDArray[np.float64]:
    """As ``_read``, between tables that lie evenly from none to the most."""
    part = np.abs(register) / knife.most_register * _STEPS
    known = {}
    for step in range(_STEPS + 1):
        if np.any(np.abs(part - step) < 1.0):
            out = knife.most_register * step / _STEPS
            known[step] = _read(replace(knife, register=out), advance)
    read = np.zeros_like(next(iter(known.values())))
    for step, values in known.items():
        read = read + np.maximum(1.0 - np.abs(part - step), 0.0) * values
    return read


def cut(knife: Knife, advance: Metre, register: Metre) -> Cut:
    """Fate of the stems at an advance per stroke, by the knife's table.

    What ``cutting_diagram`` says stem by stem, for any number of places and paces.

    Parameters
    ----------
    knife : the cutterbar's measures, in metres, in register
    advance : ground covered during one stroke, in metres
    register : how far from the guards' middles sections end their strokes, in metres

    Returns
    -------
    shares bunched, cut once and recut, and how far stems are bent when they are cut

    Raises
    ------
    OutOfRange : when the advance is negative, or the knife so far out of register that
        edges no longer reach their ledgers

    Notes
    -----
    Linear between the rows of the table [kinematics]. From a tenth of an edge to six
    edges a stroke it errs by 0.004 of the stems and by half a millimetre at most; a
    test holds it to that. Out of register to the right is as bad as to the left.

    Examples
    --------
    >>> whole = Knife(pitch=0.08, stroke=0.08, tip=0.02, edges=(0.05,), ledger=0.02)
    >>> cut(whole, np.array([0.02, 0.2]), 0.0).bunched.round(1)
    array([0. , 0.5])
    """
    guard.not_negative("advance", advance)
    guard.at_least("register", -np.abs(register), -knife.most_register)
    if np.ndim(register):
        advance, register = np.broadcast_arrays(advance, register)
    bunched, recut, aside, ahead = _out_of_register(knife, advance, register)
    return Cut(
        bunched=bunched,
        once=1.0 - bunched - recut,
        recut=recut,
        aside=np.sqrt(aside),
        ahead=advance * np.sqrt(ahead),
    )
