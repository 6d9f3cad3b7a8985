"""``academy backup``: the farm's data in one file, also while the site is running."""

from argparse import ArgumentParser, Namespace
from pathlib import Path

from academy.language import marked
from academy.service import backup
from academy.service.backup import Written
from academy.service.house import wall_clock
from academy.service.installation import installation
from academy.web.cli.out import Say, say

ABOUT = marked("write all data of the farm to one file, also while serve is running")
WITH_SECRET = marked(
    "The file also holds the names of your people and the secret of their PINs: keep "
    "it where nobody else can read it."
)
WITHOUT_SECRET = marked(
    "The file holds the names of your people, but not the secret of their PINs: keep a "
    "copy of the pepper apart from it, or everybody needs a fresh slip."
)
SETTINGS_APART = marked("settings.toml is not in it; keep a copy of that too.")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """The file, ``--force`` and ``--without-secret``."""
    one.add_argument("file", metavar="FILE", type=Path)
    one.add_argument(
        "--force",
        action="store_true",
        help=say_(marked("replace the file if it is there already")),
    )
    one.add_argument(
        "--without-secret",
        action="store_true",
        help=say_(marked("leave the pepper out, which every PIN needs")),
    )


def run(asked: Namespace) -> int:
    """Write it, check it, and say what is in it."""
    written = backup.back_up(
        installation(),
        asked.file,
        wall_clock(),
        force=asked.force,
        secret=not asked.without_secret,
    )
    _tell(asked, written)
    return 0


def _tell(asked: Namespace, written: Written) -> None:
    say(
        asked,
        marked(
            "Wrote and checked %(file)s. Answers: %(answers)s, people: %(people)s, "
            "rows in all: %(rows)s."
        ),
        file=written.path,
        answers=written.answers,
        people=written.people,
        rows=written.rows,
    )
    say(asked, WITH_SECRET if written.secret else WITHOUT_SECRET)
    say(asked, SETTINGS_APART)
