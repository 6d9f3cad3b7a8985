"""``academy check``: reads all content and says what is wrong with it.

With ``--engine`` it lists the engine's coefficients and how much doubt each causes,
with ``--bank`` what some draws of every family showed.
"""

from argparse import ArgumentParser, Namespace

from academy.errors import OutOfRange
from academy.language import marked, sentence_for
from academy.service import bank_check, check, engine_check
from academy.web.cli import bank_table, engine_table
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
    one.add_argument(
        "--bank",
        action="store_true",
        help=say_(marked("look through some draws of every family of questions")),
    )
    one.add_argument(
        "--draws", type=int, default=3, help=say_(marked("draws of each family"))
    )
    one.add_argument(
        "--workers", type=int, default=1, help=say_(marked("processes that share it"))
    )
    json_flag(one, say_(marked("print the problems, or the list, as JSON")))


def _engine(asked: Namespace) -> int:
    checked = engine_check.engine_check()
    if asked.json:
        put_json(engine_table.as_data(checked, asked.reader))
    else:
        print("\n".join(engine_table.lines(checked, asked.reader)))
    return 0


def _bank(asked: Namespace) -> int:
    if asked.draws < 1 or asked.workers < 1:
        raise OutOfRange("must_be_positive", name="draws", value=asked.draws)
    found = bank_check.bank(asked.draws, asked.workers)
    if asked.json:
        put_json(bank_table.as_data(found))
    else:
        print("\n".join(bank_table.lines(found, asked.reader)))
    return 1 if any(one.wrong() for one in found) else 0


def run(asked: Namespace) -> int:
    """0 when all is in order, else 1."""
    if asked.engine:
        return _engine(asked)
    if asked.bank:
        return _bank(asked)
    problems = [sentence_for(problem, asked.reader) for problem in check.check()]
    if asked.json:
        put_json({"problems": problems})
    elif problems:
        print("\n".join(problems))
    else:
        say(asked, marked("All content is in order."))
    return 1 if problems else 0
