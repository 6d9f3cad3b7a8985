"""The opened installation: database, content, settings, secret and clock.

Every deed takes it first. Opening brings the tables up to date and throws away what has
served its time.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from academy import paths
from academy.catalog import shelf
from academy.catalog.shelf import Catalog
from academy.records.db import Database
from academy.records.migrate import migrate
from academy.records.queries import retention, throttle
from academy.service import log_seal, pins, settings, tries
from academy.service.settings import Settings


def wall_clock() -> datetime:
    """This moment, in UTC."""
    return datetime.now(UTC)


@dataclass(frozen=True, slots=True)
class House:
    """One installation, open for deeds."""

    db: Database
    catalog: Catalog
    settings: Settings
    instance: Path
    pepper: bytes
    clock: Callable[[], datetime] = wall_clock


def open_house(instance: Path | None = None, database_url: str | None = None) -> House:
    """Open the installation of an instance folder, by default the usual one.

    ``database_url`` overrides the settings. Raises ContentError for settings or content
    that break their rules, Unavailable for a database that cannot be used or is being
    replaced.
    """
    folder = paths.instance() if instance is None else instance
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    chosen = settings.read(folder)
    house = House(
        db=Database(database_url or chosen.database(folder)),
        catalog=shelf.load(),
        settings=chosen,
        instance=folder,
        pepper=pins.read_pepper(chosen.pepper(folder)),
    )
    house.db.occupy()
    house.db.reach()
    migrate(house.db)
    sweep(house, house.clock())
    seal_log(house)
    return house


def seal_log(house: House) -> int:
    """Begin the log if it is empty, and seal the days that are over; how many."""
    now = house.clock()
    with house.db.read() as connection:
        if not log_seal.due(connection, now):
            return 0
    with house.db.write() as connection:
        log_seal.begin(connection, now)
        return log_seal.seal(connection, now)


def sweep(house: House, now: datetime) -> None:
    """Delete sign-ins, unopened slips and wrong tries past their time."""
    kept = house.settings.keep_sign_ins_days
    before = now - timedelta(days=kept)
    idle = now - timedelta(days=max(kept, house.settings.own_idle_days))
    with house.db.write() as connection:
        retention.sweep_sign_ins(connection, before, idle)
        retention.sweep_slips(connection, before)
        throttle.sweep(connection, now - tries.KEPT)
