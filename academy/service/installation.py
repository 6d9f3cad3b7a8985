"""Where a farm's data lie, for deeds that must not change them by opening them."""

from dataclasses import dataclass
from pathlib import Path

from academy import paths
from academy.errors import NotFound
from academy.records.db import Database
from academy.service import settings


@dataclass(frozen=True, slots=True)
class Installation:
    """Instance folder, database and pepper file; none of them opened, made or swept."""

    instance: Path
    database: Database
    pepper: Path

    @property
    def path(self) -> Path | None:
        """The database's file, for SQLite."""
        return self.database.path

    def check_there(self) -> None:
        """Raise NotFound without a database, Unavailable when it cannot be opened."""
        if self.path is not None and not self.path.is_file():
            raise NotFound("no_database_yet", name=str(self.path))
        self.database.reach()


def installation(instance: Path | None = None) -> Installation:
    """The installation of a folder, by default the usual one, as it stands.

    Raises ContentError for broken settings, Unavailable for an unusable database.
    """
    folder = paths.instance() if instance is None else instance
    chosen = settings.read(folder)
    database = Database(chosen.database(folder))
    return Installation(folder, database, chosen.pepper(folder))
