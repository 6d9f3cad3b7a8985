"""``academy check``: reads all content and says what is wrong with it."""

from argparse import ArgumentParser, Namespace

from academy.language import marked, sentence_for
from academy.service import check
from academy.web.cli.out import Say, json_flag, put_json, say

ABOUT = marked("read all content and say what is wrong with it")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``--json``."""
    json_flag(one, say_(marked("print the problems as JSON")))


def run(asked: Namespace) -> int:
    """0 when all is in order, else 1."""
    problems = [sentence_for(problem, asked.reader) for problem in check.check()]
    if asked.json:
        put_json({"problems": problems})
    elif problems:
        print("\n".join(problems))
    else:
        say(asked, marked("All content is in order."))
    return 1 if problems else 0
