"""The diagram against a knife marched over the stems in small steps of time.

The march shares nothing with the engine's way: sections are laid out along the whole
bar, edges are line segments, a stem is met when it changes sides of a segment, and cut
when what holds it has carried it to a ledger.
"""

import math
from typing import NamedTuple

import numpy as np
import pytest
from numpy.random import default_rng

from academy.engine.cutting_diagram import Knife, diagram


class Bar(NamedTuple):
    """Measures of a cutterbar, in metres; edges stand in turn along it."""

    pitch: float
    stroke: float
    tip: float
    edges: tuple[float, ...]
    ledger: float
    register: float = 0.0


class Stems:
    """Stems of a gap: where they stand and what became of them."""

    def __init__(self, x, y):
        self.x, self.y = x, y
        self.arrivals = np.zeros(len(x), dtype=int)
        self.cut = np.zeros(len(x), dtype=bool)
        self.left_for_the_back = np.zeros(len(x), dtype=bool)
        self.sideways = np.full(len(x), np.nan)
        self.forward = np.full(len(x), np.nan)

    def shear(self, which, ledger, back):
        fresh = which & ~self.cut
        self.sideways[fresh] = np.abs(ledger - self.x[fresh])
        self.forward[fresh] = np.maximum(back - self.y[fresh], 0.0)
        self.cut |= which


def edges_at(bar, advance, time, sign, gap):
    """Heels and fronts of every leading edge of a long bar; time in strokes.

    Sections are numbered along the bar and keep their lengths wherever they go; the
    guard on the left of the gap stands at 0.
    """
    numbers = np.arange(-6, 9)
    axes = (numbers - gap) * bar.pitch + bar.register
    axes = axes + bar.stroke / 2 * (1 - math.cos(math.pi * time))
    length = np.array([bar.edges[number % len(bar.edges)] for number in numbers])
    back = np.full_like(axes, advance * time)
    heel = np.stack([axes + sign * bar.pitch / 2, back], axis=-1)
    front = np.stack([axes + sign * bar.tip / 2, back + length], axis=-1)
    return heel, front


def ahead(edges, stems, sign):
    """Which stems still lie ahead of each edge: the side of its line they are on."""
    heel, front = edges
    along = front - heel
    dx, dy = stems.x - heel[:, :1], stems.y - heel[:, 1:]
    return sign * (dx * along[:, 1:] - dy * along[:, :1]) > 0


def place_on(edges, y):
    """Where an edge, or its heel once the back has passed, stands in a stem's row."""
    heel, front = edges
    share = np.clip((y - heel[:, 1:]) / (front - heel)[:, 1:], 0.0, 1.0)
    return heel[:, :1] + share * (front - heel)[:, :1]


def one_stroke(stems, bar, advance, stroke, steps, gap):
    sign = 1 if stroke % 2 == 0 else -1
    ledger = bar.pitch - bar.ledger / 2 if sign > 0 else bar.ledger / 2
    times = np.linspace(stroke, stroke + 1, steps + 1)
    before = edges_at(bar, advance, times[0], sign, gap)
    held = np.zeros((len(before[0]), len(stems.x)), dtype=bool)
    for time in times[1:]:
        after, back = edges_at(bar, advance, time, sign, gap), advance * time
        in_row = (before[0][:, 1:] <= stems.y) & (stems.y <= after[1][:, 1:])
        held |= in_row & ahead(before, stems, sign) & ~ahead(after, stems, sign)
        arrived = held & (sign * (place_on(after, stems.y) - ledger) >= 0)
        held &= ~arrived
        stems.arrivals += arrived.sum(axis=0)
        stems.shear(arrived.any(axis=0), ledger, back)
        stems.left_for_the_back |= (stems.y <= back) & ~stems.cut & ~held.any(axis=0)
        reach = sign * (np.stack([before[0][:, 0], after[0][:, 0]]) - ledger)
        if np.any((reach[0] < 0) & (reach[1] >= 0)):
            stems.shear(stems.left_for_the_back & ~stems.cut, ledger, back)
        before = after
    # what an edge still holds at the end of its stroke springs free of it
    stems.left_for_the_back |= (stems.y <= advance * times[-1]) & ~stems.cut


def march(bar, advance, x, y, steps, gap=0):
    """Stems at x, y (flat arrays) in one gap after everything has passed them."""
    stems = Stems(x, y)
    for stroke in range(-math.ceil(max(bar.edges) / advance) - 2, 4):
        one_stroke(stems, bar, advance, stroke, steps, gap)
    return stems


def drawn(number, lengths=1, out=0.0):
    """A cutterbar and an advance of its own for each number.

    ``lengths``: how many lengths of edge stand in turn; ``out``: how far it is out of
    register, of what its ledgers bear.
    """
    rng = default_rng(number)
    pitch = rng.uniform(0.03, 0.1)
    edge = pitch * rng.uniform(0.3, 1.2)
    tip, ledger = pitch * rng.uniform(0.05, 0.5), pitch * rng.uniform(0.1, 0.6)
    stroke = pitch * rng.integers(1, 4)
    advance = edge * math.exp(rng.uniform(math.log(0.3), math.log(4.0)))
    edges = (edge, *(edge * rng.uniform(0.4, 1.0, lengths - 1)))
    off = out * min(tip + ledger, pitch - ledger) / 2 * rng.uniform(-1, 1)
    return Bar(pitch, stroke, tip, edges, ledger, off), advance


def compare(bar, advance, columns, rows, steps):
    """Share of stems that the two do not agree on; the rest must be bent alike."""
    made = diagram(Knife(**bar._asdict()), advance, columns, rows)
    agreed = []
    for gap in range(len(bar.edges)):
        here = np.s_[:, gap * columns : (gap + 1) * columns]
        places = np.meshgrid(made.across[here[1]] - gap * bar.pitch, made.along)
        stems = march(bar, advance, *(each.ravel() for each in places), steps, gap)
        assert stems.cut.all()
        alike = stems.arrivals == made.passes[here].ravel()
        step = advance / steps  # the march sees a cut at the end of its step
        for name, room in (("sideways", 1e-12), ("forward", step * (1 + 1e-6))):
            bent = getattr(made, name)[here].ravel()
            apart = np.abs(getattr(stems, name) - bent)[alike]
            assert apart.max() <= room, name
        agreed.append(alike.mean())
    return 1 - np.mean(agreed)


@pytest.mark.parametrize("number", range(8))
def test_a_marched_knife_agrees_on_every_stem_off_the_borders(number):
    # A step moves a border by up to 1/400 of a stroke; about 1 stem in 60 lies so near.
    assert compare(*drawn(number), 14, 24, 400) < 0.025


@pytest.mark.parametrize("number", [24, 26])  # 2 and 3 pitches a stroke
def test_so_it_does_for_long_and_short_sections_in_turn(number):
    assert compare(*drawn(number, lengths=2), 10, 18, 400) < 0.03


@pytest.mark.parametrize("number", [30, 33])  # 1 and 2 pitches a stroke
def test_so_it_does_for_a_knife_out_of_register(number):
    assert compare(*drawn(number, lengths=1, out=0.95), 10, 18, 400) < 0.03


@pytest.mark.long
@pytest.mark.parametrize("number", range(100, 112))
def test_a_finely_marched_knife_agrees_on_nearly_every_stem(number):
    lengths, out = 1 + number % 3, 0.9 * (number % 2)
    assert compare(*drawn(number, lengths, out), 24, 40, 1600) < 0.008
