"""A backup of the farm in one file, while the site is running."""

import os
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from academy.errors import Conflict, NotFound
from academy.records import backup_file
from academy.service import pepper
from academy.service.installation import Installation


@dataclass(frozen=True, slots=True)
class Written:
    """What a backup holds."""

    path: Path
    answers: int
    people: int
    rows: int
    secret: bool


def back_up(
    from_: Installation,
    to: Path,
    now: datetime,
    *,
    force: bool = False,
    secret: bool = True,
) -> Written:
    """Write all tables as they stand at one moment to a file of its own.

    With ``secret`` also the pepper, without which no PIN fits. Raises Conflict for a
    file that is there (unless ``force``), or is the database itself; NotFound for a
    missing folder or database; Unavailable when it cannot be written whole.
    """
    _check_place(from_, to, force)
    from_.check_there()
    note = {"made_at": now.astimezone(UTC).isoformat(timespec="seconds")}
    note |= pepper.note_of(from_.pepper, secret)
    with TemporaryDirectory(prefix=".backup-", dir=to.parent) as made:
        draft = Path(made) / to.name
        counts = backup_file.write(from_.database, draft, note)
        if not force and to.exists():
            raise Conflict("file_is_there", file=to.name)
        os.replace(draft, to)
    return Written(
        path=to,
        answers=counts["answer"],
        people=counts["person"],
        rows=sum(counts.values()),
        secret="pepper" in note,
    )


def _check_place(from_: Installation, to: Path, force: bool) -> None:
    if not to.parent.is_dir():
        raise NotFound("no_such_folder", name=str(to.parent))
    if from_.path is not None and _same(from_.path, to):
        raise Conflict("backup_over_database", name=str(to))
    if to.is_dir() or (to.exists() and not force):
        raise Conflict("file_is_there", file=to.name)


def _same(one: Path, other: Path) -> bool:
    return one.resolve() == other.resolve()
