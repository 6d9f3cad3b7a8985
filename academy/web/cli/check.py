"""``academy check``: reads all content and says what is wrong with it.

With ``--engine`` it lists the engine's coefficients and how much doubt each causes.
"""

from argparse import ArgumentParser, Namespace

from academy.language import marked, sentence_for
from academy.service import check, engine_check
from academy.web.cli import engine_table
from academy.web.cli.out import Say, json_flag, put_json, say

ABOUT = marked("read all content and say what is wrong with it")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``--engine`` and ``--json``."""
    one.add_argument(
        "--engine",
        action="store_true",
        help=say_(
            marked("list the engine's coefficients and how much doubt each causes")
        ),
    )
    json_flag(one, say_(marked("print the problems, or the list, as JSON")))


def _engine(asked: Namespace) -> int:
    checked = engine_check.engine_check()
    if asked.json:
        put_json(engine_table.as_data(checked, asked.reader))
    else:
        print("\n".join(engine_table.lines(checked, asked.reader)))
    return 0


def run(asked: Namespace) -> int:
    """0 when all is in order, else 1."""
    if asked.engine:
        return _engine(asked)
    problems = [sentence_for(problem, asked.reader) for problem in check.check()]
    if asked.json:
        put_json({"problems": problems})
    elif problems:
        print("\n".join(problems))
    else:
        say(asked, marked("All content is in order."))
    return 1 if problems else 0
