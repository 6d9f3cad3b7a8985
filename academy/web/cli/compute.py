"""``academy compute``: one figure from typed ones, with how we know it."""

from argparse import ArgumentParser, Namespace

from academy.catalog import sources
from academy.language import Language, gettext, marked, plain_number, with_unit
from academy.service import compute
from academy.service.compute import QUANTITIES, Answer
from academy.service.evidence_words import EVIDENCE
from academy.web.cli.compute_words import PARTS, listed
from academy.web.cli.out import Say, json_flag, put_json

ABOUT = marked("work out one figure, such as reel-speed")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """The quantity and its figures."""
    one.epilog = listed(QUANTITIES, say_)
    one.add_argument(
        "quantity",
        metavar="QUANTITY",
        help=say_(marked("the figure wanted, one of the list below")),
    )
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


def _as_data(answer: Answer, language: Language) -> dict[str, object]:
    """The answer as plain data; a sum carries its parts, all in its own unit."""
    return {
        "quantity": answer.quantity,
        "value": answer.value,
        "unit": answer.unit,
        **({"parts": dict(answer.parts)} if answer.parts else {}),
        **(
            {"notes": [gettext(n, language) for n in answer.notes]}
            if answer.notes
            else {}
        ),
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


def _lines(answer: Answer, language: Language) -> list[str]:
    """The figure, its parts, what belongs beside it, and how it is known."""

    def shown(value: float) -> str:
        return with_unit(plain_number(value, language), answer.unit, language)

    parts = [
        f"{gettext(PARTS[name], language)}: {shown(value)}"
        for name, value in answer.parts.items()
    ]
    return [
        shown(answer.value),
        *parts,
        *(gettext(note, language) for note in answer.notes),
        gettext(EVIDENCE[answer.evidence], language),
        sources.load()[answer.source].called(language),
    ]


def run(asked: Namespace) -> int:
    """Work it out and print it."""
    typed = compute.arguments_of(asked.figures)
    answer = compute.compute(asked.quantity, typed, asked.to)
    language = asked.reader.language
    if asked.json:
        put_json(_as_data(answer, language))
    else:
        print("\n".join(_lines(answer, language)))
    return 0
