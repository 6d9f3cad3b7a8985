"""``academy simulate certification``: simulated people through the real assessments."""

from argparse import ArgumentParser, Namespace
from datetime import UTC, datetime
from typing import Any

from academy import paths
from academy.catalog import blueprints
from academy.errors import NotFound, OutOfRange
from academy.language import Reader, gettext, marked, plain_number
from academy.service import certification_run, error_rates
from academy.service.certification_run import Plan
from academy.web.cli.out import Say, json_flag, put_json, say

ABOUT = marked("send simulated people through the assessments and count the errors")
_STRESS = {
    "easier": marked("questions easier than believed"),
    "harder": marked("questions harder than believed"),
    "clones": marked("draws less alike than believed"),
    "correlated": marked("parts of a scenario more alike than believed"),
    "lost_scored": marked("lost scenarios scored 0 (never done)"),
    "lost_replaced": marked("lost scenarios voided and replaced (as it is done)"),
}


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``certification`` and how many people, from which seed, on how many workers."""
    one.add_argument(
        "what", choices=["certification"], help=say_(marked("what is simulated"))
    )
    for flag, usual, about in (
        ("--people", 2000, marked("simulated people of each level")),
        ("--seed", 1, marked("where the luck begins")),
        ("--draws", certification_run.DRAWS, marked("draws of each family")),
        ("--workers", 2, marked("processes that share it")),
    ):
        one.add_argument(flag, type=int, default=usual, help=say_(about))
    one.add_argument(
        "--certificate",
        default="",
        help=say_(marked("only this certificate; the run is then not kept")),
    )
    one.add_argument(
        "--stress",
        action="store_true",
        help=say_(marked("also where the world differs from what the bank believes")),
    )
    json_flag(one, say_(marked("print the figures as JSON")))


def run(asked: Namespace) -> int:
    """0 when done; raises OutOfRange for fewer than one of anything."""
    for name in ("people", "draws", "workers"):
        if getattr(asked, name) < 1:
            raise OutOfRange("must_be_positive", name=name, value=getattr(asked, name))
    chosen = asked.certificate
    if chosen and chosen not in blueprints.known():
        raise NotFound("no_such_content", name=chosen)
    plan = Plan(
        certificates=(chosen,) if chosen else tuple(blueprints.known()),
        people=asked.people,
        seed=asked.seed,
        draws=asked.draws,
        workers=asked.workers,
        stress=asked.stress,
    )
    asked_from = error_rates.bank()  # as it is now, before a long run
    figures = certification_run.run(plan)
    today = datetime.now(UTC).date()
    told = error_rates.document(plan, figures, today, asked_from)
    error_rates.keep(paths.instance(), told)
    if asked.json:
        put_json(told)
        return 0
    for one in figures:
        _tell(asked, one)
    say(asked, marked("Everybody here is simulated; nobody real has been measured."))
    return 0


def _share(value: float, reader: Reader) -> str:
    return f"{plain_number(round(100 * value, 1), reader.language)} %"


def _tell(asked: Namespace, one: dict[str, Any]) -> None:
    reader = asked.reader
    title = blueprints.load(one["key"]).title.for_language(reader.language)
    print(title)
    rows = [
        (marked("clearly below the line, passed"), "false_pass"),
        (marked("clearly above the line, failed"), "false_fail"),
        (marked("on the line, passed"), "pass_on_line"),
    ]
    for text, key in rows:
        _line(gettext(text, reader.language), one, key, reader)
    say(
        asked,
        marked("  scenarios on average: %(count)s"),
        count=plain_number(round(one["mean_length"], 1), reader.language),
    )
    for name, wrong in one.get("stress", {}).items():
        print(f"  {gettext(_STRESS[name], reader.language)}")
        for text, key in rows[:2]:
            _line("  " + gettext(text, reader.language), wrong, key, reader)


def _line(text: str, told: dict[str, Any], key: str, reader: Reader) -> None:
    value, low, high = (
        _share(told[name], reader) for name in (key, f"{key}_low", f"{key}_high")
    )
    print(f"  {text}: {value} ({low} – {high})")
