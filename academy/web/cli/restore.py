"""``academy restore``: a backup put in the place of the database."""

from argparse import ArgumentParser, Namespace
from pathlib import Path

from academy.language import marked
from academy.service import restore
from academy.service.house import wall_clock
from academy.service.installation import installation
from academy.service.pepper import Fits
from academy.service.restore import Restored
from academy.web.cli.out import Say, say

ABOUT = marked("put a backup in the place of the database, while serve is stopped")
SECRETS: dict[Fits, str] = {
    "kept": marked("Every PIN of that time fits."),
    "put": marked("Every PIN of that time fits; the pepper came out of the backup."),
    "replaced": marked(
        "Every PIN of that time fits; the pepper came out of the backup, and the one "
        "that was here is kept beside it."
    ),
    "other": marked(
        "No PIN fits: the backup was written without its pepper, and the one here is "
        "another. Put the right one in its place and start the program again."
    ),
    "unknown": marked(
        "The file says nothing of its pepper. If no PIN fits, put the one in its place "
        "that the farm had at that time."
    ),
}


def arguments(one: ArgumentParser, say_: Say) -> None:
    """The file and ``--force``."""
    one.add_argument("file", metavar="FILE", type=Path)
    one.add_argument(
        "--force",
        action="store_true",
        help=say_(marked("replace what a PostgreSQL database holds, too")),
    )


def run(asked: Namespace) -> int:
    """Put it in its place and say what is there now."""
    into = installation()
    done = restore.restore(into, asked.file, wall_clock(), force=asked.force)
    _tell(asked, done)
    return 0


def _tell(asked: Namespace, done: Restored) -> None:
    say(
        asked,
        marked("Restored. Answers: %(answers)s, people: %(people)s."),
        answers=done.answers,
        people=done.people,
    )
    if done.made_at:
        say(asked, marked("The backup was made at %(moment)s."), moment=done.made_at)
    if done.kept:
        say(asked, marked("What was there before is kept as %(file)s."), file=done.kept)
    say(asked, SECRETS[done.secret])
    say(
        asked,
        marked(
            "Devices, slips and sign-ins are as they were then: block again what was "
            "blocked since."
        ),
    )
