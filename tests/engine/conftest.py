"""What every engine test may ask for."""

from collections.abc import Callable
from decimal import Decimal

import pytest


@pytest.fixture(scope="session")
def printed() -> Callable[[str], object]:
    """Equal to a printed figure: within half its last digit."""

    def within(text: str) -> object:
        value = Decimal(text)
        half = Decimal(5).scaleb(value.as_tuple().exponent - 1)
        return pytest.approx(float(value), abs=float(half) * (1 + 1e-9))

    return within
