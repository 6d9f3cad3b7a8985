"""What every engine test may ask for."""

import math
from collections.abc import Callable
from decimal import Decimal

import pytest

from academy.catalog import coefficients, combines, headers
from academy.catalog.coefficients import CoefficientSet
from academy.engine.header import Field, Machine, Settings
from academy.engine.search import Control


@pytest.fixture(scope="session")
def printed() -> Callable[[str], object]:
    """Equal to a printed figure: within half its last digit."""

    def within(text: str) -> object:
        value = Decimal(text)
        half = Decimal(5).scaleb(value.as_tuple().exponent - 1)
        return pytest.approx(float(value), abs=float(half) * (1 + 1e-9))

    return within


@pytest.fixture(scope="session")
def soybean() -> CoefficientSet:
    """The coefficients of soybean, as content has them."""
    return coefficients.load("soybean")


@pytest.fixture(scope="session")
def machine() -> Machine:
    """The invented 40 ft header on the invented combine."""
    return headers.machine(headers.load("flex40"), combines.load("middle"))


@pytest.fixture(scope="session")
def field() -> Field:
    """Ordinary soybean: 50 bu/ac, 36 in, 13 %, standing, ordinary ground, $11/bu."""
    return Field(
        crop_yield=50 * 60 * 0.45359237 / 4046.8564224,
        crop_height=36 * 0.0254,
        moisture=0.13,
        lodging=0.0,
        lowest_grain=0.13,
        mog_ratio=1.0,
        ground_roughness=1024e-6,
        slope=0.02,
        grain_price=11 / (60 * 0.45359237),
    )


@pytest.fixture(scope="session")
def settings() -> Settings:
    """Near the published advice: 3.5 mph, index 1.36, axle 10 in ahead, low cut."""
    return Settings(
        ground_speed=3.5 * 0.44704,
        reel_rate=38 * math.pi / 30,
        reel_height=50 * 0.0254,
        reel_lead=10 * 0.0254,
        cut_height=1.5 * 0.0254,
        float_force=200.0,
        belt_speed=2.8,
        tine_pitch=0.0,
    )


@pytest.fixture(scope="session")
def controls() -> tuple[Control, ...]:
    """The five settings graded in money, with the steps of the 40 ft header."""
    ranges = headers.load("flex40").controls
    names = ("ground_speed", "reel_rate", "reel_height", "reel_lead", "cut_height")
    return tuple(Control(name, *getattr(ranges, name).si()) for name in names)
