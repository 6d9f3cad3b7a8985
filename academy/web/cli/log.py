"""``academy log verify``: is the log, and what it tells of, still as it was written?"""

from argparse import ArgumentParser, Namespace

from academy.language import marked
from academy.service import log_check
from academy.service.installation import installation
from academy.service.log_check import Flaw, Report
from academy.web.cli.out import Say, json_flag, put_json, say

ABOUT = marked("verify the log entry by entry, and the rows it tells of")
_SHOWN = 20
_FLAWS = {
    "changed": marked("  Entry %(place)s (%(kind)s) of chain %(where)s was changed."),
    "missing": marked(
        "  Before entry %(place)s (%(kind)s) of chain %(where)s, entries are missing."
    ),
    "unlinked": marked(
        "  Entry %(place)s (%(kind)s) of chain %(where)s does not follow the one "
        "before it."
    ),
    "moved": marked(
        "  Entry %(place)s (%(kind)s) of chain %(where)s was moved to another place."
    ),
    "seal_changed": marked(
        "  The seal of %(where)s does not fit the entries it covers."
    ),
    "seal_unlinked": marked(
        "  The seal of %(where)s does not follow the seal before it."
    ),
    "seal_unknown": marked("  No day carries the seal you noted: %(where)s"),
    "row_changed": marked(
        "  The row of «%(where)s» does not say what was logged (%(fields)s)."
    ),
    "row_gone": marked("  The row of «%(where)s» was logged and is gone."),
    "not_logged": marked("  The row of «%(where)s» never went through the log."),
}


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``verify``, ``--seal`` and ``--json``."""
    one.add_argument("deed", choices=["verify"], help=say_(ABOUT))
    one.add_argument(
        "--seal",
        metavar="HASH",
        help=say_(marked("a seal that you noted elsewhere and that must be there")),
    )
    json_flag(one, say_(marked("print counts and differences as JSON")))


def run(asked: Namespace) -> int:
    """0 when all is as it was written, else 1."""
    installed = installation()
    noted = asked.seal.strip().lower() if asked.seal else None
    report = log_check.verify(installed, noted)
    installed.database.close()
    if asked.json:
        put_json(report.as_plain())
    else:
        _tell(asked, report)
    return 0 if report.clean else 1


def _tell(asked: Namespace, report: Report) -> None:
    say(
        asked,
        marked(
            "%(entries)s entries in %(chains)s chains, %(rows)s rows beside them, "
            "%(seals)s daily seals; %(flaws)s are not as they were written."
        ),
        entries=report.entries,
        chains=report.chains,
        rows=report.rows,
        seals=report.seals,
        flaws=len(report.flaws),
    )
    for one in report.flaws[:_SHOWN]:
        _tell_flaw(asked, one)
    if len(report.flaws) > _SHOWN:
        more = len(report.flaws) - _SHOWN
        say(asked, marked("  And %(more)s more; --json lists them all."), more=more)
    if report.seal is not None:
        say(
            asked,
            marked(
                "Sealed up to %(day)s: %(seal)s\nNote this seal on paper. Whoever "
                "rewrites the log cannot make it come out the same."
            ),
            day=report.sealed_to,
            seal=report.seal,
        )


def _tell_flaw(asked: Namespace, one: Flaw) -> None:
    say(
        asked,
        _FLAWS[one.what],
        where=one.where,
        place=one.place,
        kind=one.kind,
        fields=", ".join(one.fields),
    )
