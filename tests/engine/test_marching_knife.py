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
    """Measures of a cutterbar, in metres."""

    pitch: float
    stroke: float
    tip: float
    edge: float
    ledger: float


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


def edges_at(bar, advance, time, sign):
    """Heels and fronts of every leading edge of a long bar; time in strokes."""
    axes = np.arange(-6, 8) * bar.pitch
    axes = axes + bar.stroke / 2 * (1 - math.cos(math.pi * time))
    back = np.full_like(axes, advance * time)
    heel = np.stack([axes + sign * bar.pitch / 2, back], axis=-1)
    front = np.stack([axes + sign * bar.tip / 2, back + bar.edge], axis=-1)
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


def one_stroke(stems, bar, advance, stroke, steps):
    sign = 1 if stroke % 2 == 0 else -1
    ledger = bar.pitch - bar.ledger / 2 if sign > 0 else bar.ledger / 2
    times = np.linspace(stroke, stroke + 1, steps + 1)
    before = edges_at(bar, advance, times[0], sign)
    held = np.zeros((len(before[0]), len(stems.x)), dtype=bool)
    for time in times[1:]:
        after, back = edges_at(bar, advance, time, sign), advance * time
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


def march(bar, advance, x, y, steps):
    """Stems at x, y (flat arrays) after everything has passed them."""
    stems = Stems(x, y)
    for stroke in range(-math.ceil(bar.edge / advance) - 2, 4):
        one_stroke(stems, bar, advance, stroke, steps)
    return stems


def drawn(number):
    """A cutterbar and an advance of its own for each number."""
    rng = default_rng(number)
    pitch = rng.uniform(0.03, 0.1)
    edge = pitch * rng.uniform(0.3, 1.2)
    tip, ledger = pitch * rng.uniform(0.05, 0.5), pitch * rng.uniform(0.1, 0.6)
    bar = Bar(pitch, pitch * rng.integers(1, 4), tip, edge, ledger)
    return bar, edge * math.exp(rng.uniform(math.log(0.3), math.log(4.0)))


def compare(number, columns, rows, steps):
    """Share of stems that the two do not agree on; the rest must be bent alike."""
    bar, advance = drawn(number)
    made = diagram(Knife(**bar._asdict()), advance, columns, rows)
    x, y = (each.ravel() for each in np.meshgrid(made.across, made.along))
    stems = march(bar, advance, x, y, steps)
    assert stems.cut.all()
    agreed = stems.arrivals == made.passes.ravel()
    step = advance / steps  # the march sees a cut at the end of its step
    for name, room in (("sideways", 1e-12), ("forward", step * (1 + 1e-6))):
        apart = np.abs(getattr(stems, name) - getattr(made, name).ravel())[agreed]
        assert apart.max() <= room, name
    return 1 - agreed.mean()


@pytest.mark.parametrize("number", range(12))
def test_a_marched_knife_agrees_on_every_stem_off_the_borders(number):
    # A step moves a border by up to 1/400 of a stroke; about 1 stem in 60 lies so near.
    assert compare(number, 14, 24, 400) < 0.025


@pytest.mark.long
@pytest.mark.parametrize("number", range(100, 124))
def test_a_finely_marched_knife_agrees_on_nearly_every_stem(number):
    assert compare(number, 24, 40, 1600) < 0.008
