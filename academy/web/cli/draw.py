"""``academy draw``: one scenario of a family, drawn from a seed, as it is shown."""

from argparse import ArgumentParser, Namespace
from typing import Any

from academy.language import Reader, marked
from academy.service import draw
from academy.web.cli.out import Say, json_flag, put_json

ABOUT = marked("draw one scenario of a family and print it")


def arguments(one: ArgumentParser, say_: Say) -> None:
    """Family, seed and units."""
    one.add_argument("family", metavar="FAMILY")
    one.add_argument(
        "--seed",
        type=int,
        required=True,
        help=say_(marked("whole number; the same one draws the same scenario")),
    )
    one.add_argument("--units", choices=["us", "metric"], default="us")
    json_flag(one, say_(marked("print the scenario as JSON")))


def _print(drawn: dict[str, Any]) -> None:
    print(drawn["title"], drawn["story"], sep="\n")
    for fact in drawn["facts"]:
        print(f"  {fact['label']}: {fact['value']}")
    for part in drawn["parts"]:
        print(f"{part['index']}. {part['prompt']}", *_choices(part), sep="\n   ")


def _choices(part: dict[str, Any]) -> list[str]:
    """What there is to choose from, a line each."""
    controls = [
        f"{one['label']}: {one['low']} – {one['high']} {one['unit_word']}"
        f" ({one['as_found']})"
        for one in part.get("controls", ())
    ]
    named = [text for _, text in (*part.get("options", ()), *part.get("steps", ()))]
    words = [word for _, word in part.get("units", ())]
    said = [part["sign"]] if part.get("sign") else []
    seen = [f"{name}: {reads}" for _, name, reads in part.get("findings", ())]
    listed = [*said, *controls, *seen, *named]
    return [*_read(part), *listed, *([" / ".join(words)] if words else [])]


def _read(part: dict[str, Any]) -> list[str]:
    """What was measured and seen, a line a row; of a picture, its table."""
    tables = [*part.get("tables", ()), *(p["table"] for p in part.get("pictures", ()))]
    lines = []
    for table in tables:
        lines.append(f"{table['caption']}: {' | '.join(table['head'])}")
        lines += ["  " + " | ".join(row) for row in table["rows"]]
    return lines


def run(asked: Namespace) -> int:
    """Draw it and print it."""
    reader = Reader(asked.lang, asked.units)
    drawn = draw.draw(asked.family, asked.seed, reader)
    put_json(drawn) if asked.json else _print(drawn)
    return 0
