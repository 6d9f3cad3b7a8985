"""``academy regrade``: grades every kept answer again and changes nothing."""

from argparse import ArgumentParser, Namespace

from academy.catalog import shelf
from academy.language import marked, plain_number
from academy.service import regrade, rejudged
from academy.service.installation import Installation, installation
from academy.service.regrade import Difference, Report
from academy.service.would_be import Change
from academy.web.cli.out import Say, json_flag, put_json, say

ABOUT = marked("grade every kept answer again and say what differs; changes nothing")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``--certificates`` and ``--json``."""
    one.add_argument(
        "--certificates",
        action="store_true",
        help=say_(
            marked(
                "list the certificates that today's engine and coefficients would have "
                "decided otherwise"
            )
        ),
    )
    json_flag(one, say_(marked("print counts and differences as JSON")))


def run(asked: Namespace) -> int:
    """0 when marks, beliefs and the engine's figures come out as kept, else 1.

    Of certificates: 0 when today none would be decided otherwise.
    """
    installed = installation()
    if asked.certificates:
        return _certificates(asked, installed)
    report = regrade.regrade(installed, shelf.load())
    installed.database.close()
    if asked.json:
        put_json(report.as_plain())
    else:
        _tell(asked, report)
    return 0 if report.clean else 1


def _certificates(asked: Namespace, installed: Installation) -> int:
    report = rejudged.certificates(installed)
    installed.database.close()
    if asked.json:
        put_json(report.as_plain())
        return 1 if report.otherwise else 0
    say(
        asked,
        marked(
            "%(count)s certificates in force; %(older)s rest on another engine or "
            "other coefficients; %(differ)s would be decided otherwise today, or "
            "cannot be judged."
        ),
        count=report.certificates,
        older=report.older,
        differ=len(report.otherwise),
    )
    for one in report.otherwise:
        text = marked("  %(where)s (%(certificate)s): kept %(kept)s, today %(today)s")
        say(
            asked,
            text,
            where=one.certificate_id,
            certificate=one.certificate,
            kept=one.kept,
            today=one.today or one.why,
        )
    return 1 if report.otherwise else 0


def _tell(asked: Namespace, report: Report) -> None:
    say(
        asked,
        marked("%(count)s answers marked again from what is kept; %(differ)s differ."),
        count=report.answers,
        differ=_places(report.marks),
    )
    _list(asked, report.marks)
    say(
        asked,
        marked("%(count)s beliefs counted again from the answers; %(differ)s differ."),
        count=report.beliefs,
        differ=_places(report.belief_differences),
    )
    _list(asked, report.belief_differences)
    say(
        asked,
        marked("%(count)s answers run through the engine again; %(differ)s differ."),
        count=report.reruns,
        differ=_places(report.readings),
    )
    _list(asked, report.readings)
    say(
        asked,
        marked("%(count)s decisions judged again by their terms; %(differ)s differ."),
        count=report.decisions,
        differ=len(report.decision_differences),
    )
    _list(asked, report.decision_differences)
    say(
        asked,
        marked(
            "%(count)s answers of other engine versions; today %(differ)s would "
            "score otherwise."
        ),
        count=report.other_versions,
        differ=sum(one.today != one.kept for one in report.changes),
    )
    for one in report.changes:
        _list_change(asked, one)


def _places(differences: list[Difference]) -> int:
    return len({one.where for one in differences})


def _list(asked: Namespace, differences: list[Difference]) -> None:
    for one in differences:
        say(
            asked,
            marked("  %(where)s, %(what)s: kept %(kept)s, found %(found)s"),
            where=one.where,
            what=one.what,
            kept=one.kept,
            found=one.found,
        )


def _list_change(asked: Namespace, one: Change) -> None:
    if one.today == one.kept:
        return
    language = asked.reader.language
    today = one.why if one.today is None else plain_number(one.today, language)
    say(
        asked,
        marked("  %(where)s, engine %(version)s: kept %(kept)s, today %(today)s"),
        where=one.where,
        version=one.engine_version,
        kept=plain_number(one.kept, language),
        today=today,
    )
