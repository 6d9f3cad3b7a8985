"""``academy rebuild``: counts every belief anew from the answers."""

from argparse import ArgumentParser, Namespace

from academy.language import marked
from academy.service import rebuild
from academy.service.house import open_house
from academy.web.cli.out import Say, say

ABOUT = marked("count every belief anew from the answers")


def arguments(_one: ArgumentParser, _say: Say) -> None:
    """None."""


def run(asked: Namespace) -> int:
    """Count, and say how many beliefs there are."""
    house = open_house()
    written = rebuild.rebuild(house)
    house.db.close()
    say(asked, marked("%(count)s beliefs counted anew."), count=written)
    return 0
