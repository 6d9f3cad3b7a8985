"""``academy demo``: an invented farm with two seasons behind it, made anew."""

import shutil
from argparse import ArgumentParser, Namespace
from pathlib import Path

from academy import paths
from academy.language import gettext, marked
from academy.service import demo
from academy.service.demo import DemoMade
from academy.service.house import open_house
from academy.service.installation import installation
from academy.web.cli.out import Say, json_flag, put_json, say
from academy.web.cli.serve import addressed, listen
from academy.web.forms.people import ROLE_NAMES

ABOUT = marked("build an invented farm and serve it")
FOLDER = "demo"


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``--no-serve``, ``--json``, ``--lan``, ``--port``."""
    one.add_argument(
        "--no-serve", action="store_true", help=say_(marked("build it only"))
    )
    one.add_argument(
        "--lan",
        action="store_true",
        help=say_(marked("let every device of the farm's network in")),
    )
    one.add_argument(
        "--port", type=int, help=say_(marked("port to listen on, by default 8765"))
    )
    json_flag(one, say_(marked("print address and people as JSON")))


def _fresh_folder() -> Path:
    """The folder emptied; raises Conflict while the demonstration is being served."""
    folder = paths.instance() / FOLDER
    if folder.exists():
        with installation(folder).database.alone():
            pass
        shutil.rmtree(folder)
    return folder


def _people(made: DemoMade) -> list[dict[str, object]]:
    return [
        {
            "name": one.name,
            "roles": list(one.roles),
            "sign_in": one.url,
            "pin": one.pin,
        }
        for one in made.people
    ]


def _tell(asked: Namespace, made: DemoMade) -> None:
    say(asked, marked("An invented farm; each link opens one person, once:"))
    for one in made.people:
        roles = [gettext(ROLE_NAMES[role], asked.reader.language) for role in one.roles]
        print(
            f"  {one.name} ({', '.join(roles)}), PIN {one.pin}: {one.url}", flush=True
        )


def run(asked: Namespace) -> int:
    """Build, tell, and serve unless told not to."""
    house = addressed(open_house(_fresh_folder()), asked.lan, asked.port)
    made = demo.build(house, house.clock())
    if asked.json:
        put_json({"url": house.settings.address, "people": _people(made)})
    else:
        _tell(asked, made)
    return 0 if asked.no_serve else listen(asked, house, asked.lan)
