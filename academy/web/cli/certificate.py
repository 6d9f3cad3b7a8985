"""``academy certificate``: check a certificate's file without any network; new keys."""

from argparse import ArgumentParser, Namespace
from pathlib import Path

from academy import paths
from academy.errors import NotFound, NotUnderstood
from academy.language import gettext, marked, sentence_for, show_moment
from academy.service import certificate_check, signing_keys
from academy.service.certificate_check import Checked
from academy.service.house import wall_clock
from academy.service.installation import installation
from academy.web.cli.out import Say, json_flag, put_json, say
from academy.web.pages.verify import FOUND, LONGEST_FILE

ABOUT = marked("check the file of a certificate, or make a new key to sign with")
INVALID = 1
UTC = "UTC"  # a file's moments; the farm's zone is not in it
REVOCATIONS = {
    "revoked": marked("yes"),
    "not-revoked": marked("no"),
    "unknown": marked("not known here"),
}


def arguments(one: ArgumentParser, say_: Say) -> None:
    """``verify FILE``, ``new-key``, ``--key`` and ``--json``."""
    one.add_argument("deed", choices=["verify", "new-key"], help=say_(ABOUT))
    one.add_argument(
        "file",
        metavar="FILE",
        nargs="?",
        help=say_(marked("the file that ends in .json, for verify")),
    )
    one.add_argument(
        "--key",
        default="",
        metavar="KEY",
        help=say_(marked("public key of another farm, which begins with z6Mk")),
    )
    json_flag(one, say_(marked("print what was found as JSON")))


def run(asked: Namespace) -> int:
    """0 for a genuine file that is valid today, 1 for any other, 2 for a refusal."""
    return _new_key(asked) if asked.deed == "new-key" else _verify(asked)


def _new_key(asked: Namespace) -> int:
    made = signing_keys.renew(paths.instance(), wall_clock())
    if asked.json:
        put_json({"key": made})
    say(
        asked,
        marked(
            "Certificates are signed with a new key from now on: %(key)s\n"
            "Those signed before can still be checked; nothing can be signed with the "
            "older keys any more."
        ),
        key=made,
    )
    return 0


def _verify(asked: Namespace) -> int:
    raw = _read(asked.file)
    certificate_check.brought_along(asked.key)
    installed = installation()
    try:
        found = certificate_check.check_beside(installed, raw, wall_clock(), asked.key)
    except NotUnderstood as refused:
        return _unreadable(asked, refused)
    finally:
        installed.database.close()
    if asked.json:
        put_json(found.as_plain())
    else:
        _tell(asked, found)
    return 0 if found.valid else INVALID


def _read(name: str | None) -> bytes:
    """The file; raises NotUnderstood without a name, NotFound without a file."""
    if not name:
        raise NotUnderstood("certificate_no_file")
    path = Path(name)
    if not path.is_file():
        raise NotFound("no_such_file", name=name)
    with path.open("rb") as file:
        raw = file.read(LONGEST_FILE + 1)
    if len(raw) > LONGEST_FILE:
        raise NotUnderstood("not_a_credential")
    return raw


def _unreadable(asked: Namespace, refused: NotUnderstood) -> int:
    if asked.json:
        put_json({"state": "unreadable", "reason": refused.key, "valid": False})
    else:
        print(sentence_for(refused, asked.reader))
    return INVALID


def _tell(asked: Namespace, found: Checked) -> None:
    say(asked, FOUND[found.state])
    if not found.title:
        if found.state == "unknown-key":
            say(asked, marked("It names this key: %(key)s"), key=found.key or "–")
        return
    language = asked.reader.language

    def moment_of(name: str) -> str:
        moment = getattr(found, name)
        return show_moment(moment, UTC, language) if moment else "–"

    say(
        asked,
        marked(
            "  %(title)s\n  given by %(issuer)s (%(address)s)\n  from %(low)s to "
            "%(high)s (UTC)\n  taken back: %(revocation)s"
        ),
        title=found.title,
        issuer=found.issuer,
        address=found.issuer_address,
        low=moment_of("valid_from"),
        high=moment_of("valid_until"),
        revocation=gettext(REVOCATIONS[found.revocation], language),
    )
