"""``academy serve``: the site on this computer, or for all devices of the network."""

import signal
import socket
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from waitress import create_server

from academy.errors import Unavailable
from academy.language import marked
from academy.service import farm
from academy.service.house import House, open_house
from academy.web import create_app, program_log
from academy.web.cli.out import Say, say
from academy.web.cli.stock import filler

ABOUT = marked("serve the site; stop it with Ctrl-C")
HERE, EVERYWHERE = "127.0.0.1", "0.0.0.0"  # noqa: S104 - --lan asks for it


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``--lan`` and ``--port``."""
    one.add_argument(
        "--lan",
        action="store_true",
        help=say_(marked("let every device of the farm's network in")),
    )
    one.add_argument(
        "--port", type=int, help=say_(marked("port to listen on, by default 8765"))
    )


def _own_address() -> str:
    """This computer's address on its network; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
        except OSError:
            return "localhost"
        return str(probe.getsockname()[0])


def addressed(house: House, lan: bool, port: int | None) -> House:
    """The house with the address that its slips will print."""
    chosen = replace(house.settings, listen_port=port or house.settings.listen_port)
    if lan and not chosen.site_address:
        address = f"http://{_own_address()}:{chosen.listen_port}"
        chosen = replace(chosen, site_address=address)
    return replace(house, settings=chosen)


def first_run(asked: Namespace, house: House) -> None:
    """Print the link to start the farm as long as it has not been started."""
    if farm.farm(house) is None:
        token = farm.first_run_link(house, house.clock())
        link = f"{house.settings.address}/first-run/{token}"
        say(asked, marked("Start the farm here: %(link)s"), link=link)


def listen(asked: Namespace, house: House, lan: bool) -> int:
    """Answer requests until stopped, with the stock filled beside it."""
    port = house.settings.listen_port
    try:
        server = create_server(
            create_app(house),
            host=EVERYWHERE if lan else HERE,
            port=port,
            threads=8,
            connection_limit=900,
            channel_timeout=10,
            ident="",
        )
    except OSError as found:
        raise Unavailable("port_not_free", value=str(port)) from found
    say(asked, marked("Serving %(url)s"), url=house.settings.address)
    with program_log.kept(house), filler(house), _ended_by_terminate():
        program_log.started(house, lan)
        server.run()  # returns on Ctrl-C
        program_log.stopped()
    return 0


@contextmanager
def _ended_by_terminate() -> Iterator[None]:
    """Let a service manager's plea to end be what Ctrl-C is."""
    before = signal.signal(signal.SIGTERM, _interrupt)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


def _interrupt(_number: int, _frame: object) -> None:
    raise KeyboardInterrupt


def run(asked: Namespace) -> int:
    """Open the installation and serve it."""
    house = addressed(open_house(), asked.lan, asked.port)
    first_run(asked, house)
    return listen(asked, house, asked.lan)
