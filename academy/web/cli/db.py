"""``academy db copy``: a farm moved from SQLite to PostgreSQL, or back."""

from argparse import ArgumentParser, Namespace

from academy.language import marked
from academy.service import moving
from academy.web.cli.out import Say, say

ABOUT = marked("copy the farm into another, empty database")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``copy``, from where and to where."""
    place = marked("a file's path, or postgresql://user@host/name")
    one.add_argument("deed", choices=["copy"], help=say_(ABOUT))
    one.add_argument("source", metavar="FROM", help=say_(place))
    one.add_argument("target", metavar="TO", help=say_(place))


def run(asked: Namespace) -> int:
    """Copy, compare and say what was copied."""
    copied = moving.move(asked.source, asked.target)
    for name, tally in copied.items():
        print(f"  {name:<18}{tally.rows:>9}  {tally.digest[:16]}")
    say(
        asked,
        marked(
            "Copied and compared, table by table: %(rows)s rows. Now name the new "
            "database in settings.toml; what is answered in the old one from now on "
            "is not in it."
        ),
        rows=sum(tally.rows for tally in copied.values()),
    )
    return 0
