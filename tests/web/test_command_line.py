"""The command line: answers on standard output, refusals on standard error."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from academy.errors import ContentError
from academy.service import check
from academy.service.house import open_house
from academy.web.cli import main

REEL = ["reel-speed", "ground-speed=3mph", "reel-diameter=42in", "reel-index=1.5"]


@pytest.fixture(autouse=True)
def _own_instance(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ACADEMY_INSTANCE", str(tmp_path))
    monkeypatch.setenv("LANG", "C.UTF-8")
    monkeypatch.delenv("LC_ALL", raising=False)


def _refused(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "Traceback" not in said.err
    assert len(said.err.splitlines()) == 1
    return said.err


def test_a_figure_is_worked_out_as_printed(capsys: pytest.CaptureFixture[str]) -> None:
    # Iowa State University Extension, 2005: 42 in, 3 mph, 1.5 -> 36 rpm
    assert main(["compute", *REEL, "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["value"] == pytest.approx(36.0, abs=0.5)
    assert answer["unit"] == "rpm"
    assert answer["evidence"] in (
        "published", "derived", "practice", "memory", "judgement",
    )  # fmt: skip


def test_the_unit_of_the_answer_can_be_chosen(
    capsys: pytest.CaptureFixture[str],
) -> None:
    # 1 rpm = 2 pi / 60 rad/s, so 36 rpm = 3.77 rad/s
    assert main(["compute", *REEL, "--to", "rad/s", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["value"] == pytest.approx(3.77, abs=0.05)


@pytest.mark.parametrize(
    "figure",
    ["ground-speed=9**9**9", "ground-speed=5,5mph", "ground-speed=nan",
     "ground-speed=3kg", "ground-speed=-3mph", "ground-speed=", "ground-speed",
     "nonsense=3", "ground-speed=1e999mph"],
)  # fmt: skip
def test_nonsense_is_one_sentence(
    capsys: pytest.CaptureFixture[str], figure: str
) -> None:
    assert _refused(capsys, "compute", "reel-speed", figure, *REEL[2:])


def test_sentences_come_in_spanish(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    words = ("compute", "reel-speed", "ground-speed=3kg")
    english = _refused(capsys, *words)
    spanish = _refused(capsys, *words, "--lang", "es")
    assert _refused(capsys, "--lang", "es", *words) == spanish != english
    monkeypatch.setenv("LANG", "es_MX.UTF-8")
    assert _refused(capsys, *words) == spanish


@pytest.mark.parametrize("command", ["", "serve", "demo", "compute", "draw", "check",
                                     "rebuild", "bench", "stock", "backup", "restore",
                                     "db", "regrade"])  # fmt: skip
@pytest.mark.parametrize("language", ["en", "es"])
def test_every_command_explains_itself(
    capsys: pytest.CaptureFixture[str], command: str, language: str
) -> None:
    words = [*([command] if command else []), "--lang", language, "--help"]
    with pytest.raises(SystemExit) as left:
        main(words)
    assert left.value.code == 0
    assert "--lang" in capsys.readouterr().out


def test_the_same_seed_draws_the_same_scenario(
    capsys: pytest.CaptureFixture[str],
) -> None:
    drawn = []
    for language in ("en", "en", "es"):
        words = ["draw", "reel-speed-today", "--seed", "7", "--lang", language]
        assert main([*words, "--json"]) == 0
        drawn.append(json.loads(capsys.readouterr().out))
    assert drawn[0] == drawn[1]
    assert drawn[0]["digest"] == drawn[2]["digest"]
    assert drawn[0]["story"] != drawn[2]["story"]


def test_an_unknown_family_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert _refused(capsys, "draw", "nothing", "--seed", "1")


def test_the_check_tells_what_it_finds(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    # what it finds in our content is tried in tests/service/test_check.py
    found = [ContentError("names_unknown", file="a.toml", field="topic", value="horn")]
    monkeypatch.setattr(check, "check", lambda: found)
    assert main(["check", "--json"]) == 1
    (told,) = json.loads(capsys.readouterr().out)["problems"]
    assert "a.toml" in told
    assert "horn" in told
    found.clear()
    assert main(["check", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"problems": []}


def test_beliefs_are_counted_anew(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rebuild"]) == 0
    assert capsys.readouterr().out == "0 beliefs counted anew.\n"


def test_a_farm_goes_through_a_backup_and_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(tmp_path / "farm.backup")
    assert "no database" in _refused(capsys, "backup", file)
    assert main(["rebuild"]) == 0
    capsys.readouterr()
    assert main(["backup", file]) == 0
    said = capsys.readouterr().out
    assert "Answers: 0, people: 0, rows in all: 0." in said
    assert "the secret of their PINs" in said
    assert "--force" in _refused(capsys, "backup", file)
    assert "--force" in _refused(capsys, "backup", file, "--lang", "es")
    at_work = open_house()
    assert "in use" in _refused(capsys, "restore", file)
    at_work.db.close()
    done = subprocess.run(
        [sys.executable, "-m", "academy", "restore", file],
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | {"ACADEMY_INSTANCE": str(tmp_path / "new")},
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "Restored. Answers: 0, people: 0." in done.stdout
    assert (tmp_path / "new" / "pepper").read_text() == (
        tmp_path / "pepper"
    ).read_text()


def test_a_demonstration_that_is_served_is_not_thrown_away(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    served = open_house(tmp_path / "demo")
    assert "in use" in _refused(capsys, "demo", "--no-serve")
    assert (tmp_path / "demo" / "academy.db").exists()
    served.db.close()


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _waited_for(url: str, seconds: float = 30.0) -> str:
    last = time.monotonic() + seconds
    while True:
        try:
            with urllib.request.urlopen(url, timeout=5) as answer:  # noqa: S310
                return str(answer.read().decode())
        except (urllib.error.URLError, ConnectionError):
            if time.monotonic() > last:
                raise
            time.sleep(0.1)


def test_serve_prints_the_first_run_link_and_serves(tmp_path: Path) -> None:
    port = _free_port()
    served = subprocess.Popen(
        [sys.executable, "-m", "academy", "serve", "--port", str(port)],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"ACADEMY_INSTANCE": str(tmp_path)},
    )
    assert served.stdout is not None
    with served.stdout:
        try:
            link = served.stdout.readline().split()[-1]
            assert link.startswith(f"http://localhost:{port}/first-run/")
            assert "Start the farm" in _waited_for(link)
        finally:
            served.send_signal(signal.SIGINT)
            assert served.wait(timeout=30) == 0


def test_a_port_in_use_is_a_sentence(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        tried = subprocess.run(
            [sys.executable, "-m", "academy", "serve", "--port", port],
            capture_output=True,
            text=True,
            timeout=60,
            env=os.environ | {"ACADEMY_INSTANCE": str(tmp_path)},
            check=False,
        )
    assert tried.returncode == 2
    assert f"Port {port} is already in use" in tried.stderr
    assert "Traceback" not in tried.stderr
