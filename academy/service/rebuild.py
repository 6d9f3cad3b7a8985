"""Counting every belief anew from the answers, bit for bit."""

from academy.service import beliefs
from academy.service.house import House


def rebuild(house: House) -> int:
    """Throw all beliefs away and count them from the answer log; how many there are."""
    with house.db.write() as connection:
        return beliefs.rebuild(connection, house.catalog)
