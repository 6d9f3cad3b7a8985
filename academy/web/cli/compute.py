"""``academy compute``: one figure from typed ones, with how we know it."""

from argparse import ArgumentParser, Namespace

from academy.catalog import sources
from academy.language import gettext, marked, plain_number, with_unit
from academy.service import compute
from academy.service.compute import QUANTITIES, Answer
from academy.service.evidence_words import EVIDENCE
from academy.web.cli.out import Say, json_flag, put_json

ABOUT = marked("work out one figure, such as reel-speed")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """The quantity and its figures."""
    one.add_argument("quantity", metavar="QUANTITY", help=", ".join(sorted(QUANTITIES)))
    one.add_argument(
        "figures",
        nargs="*",
        metavar="NAME=VALUE",
        help=say_(marked("each figure with its unit, such as ground-speed=4.5mph")),
    )
    one.add_argument(
        "--to", metavar="UNIT", help=say_(marked("unit of the answer, such as rpm"))
    )
    json_flag(one, say_(marked("print the answer as JSON")))


def _as_data(answer: Answer) -> dict[str, object]:
    return {
        "quantity": answer.quantity,
        "value": answer.value,
        "unit": answer.unit,
        "evidence": answer.evidence,
        "source": answer.source,
        "leans_on": {
            name: {
                "value": [figure.value, figure.unit],
                "range": [figure.lowest, figure.highest],
                "evidence": figure.evidence,
                "source": figure.source,
            }
            for name, figure in answer.leans_on.items()
        },
    }


def run(asked: Namespace) -> int:
    """Work it out and print it."""
    typed = compute.arguments_of(asked.figures)
    answer = compute.compute(asked.quantity, typed, asked.to)
    if asked.json:
        put_json(_as_data(answer))
        return 0
    language = asked.reader.language
    print(with_unit(plain_number(answer.value, language), answer.unit, language))
    print(gettext(EVIDENCE[answer.evidence], language))
    print(sources.load()[answer.source].called(language))
    return 0
