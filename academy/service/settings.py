"""The settings of this installation: ``instance/settings.toml``, read once.

Every key has a default, so an empty or missing file is a complete one. A key that is
not known is refused by name: a setting that nobody reads is a wish.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from academy.errors import ContentError

FILE_NAME = "settings.toml"

_LEAST: Mapping[str, int] = {
    "listen_port": 1,
    "trusted_proxies": 0,
    "shared_idle_minutes": 1,
    "own_idle_days": 1,
    "slip_days": 1,
    "keep_sign_ins_days": 1,
    "log_megabytes": 1,
}
_MOST: Mapping[str, int] = {"listen_port": 65535}
LOG_LEVELS = ("debug", "info", "warning", "error")


@dataclass(frozen=True, slots=True)
class Settings:
    """What one installation decides for itself; ``instance/README.md`` says each."""

    site_address: str = ""
    listen_port: int = 8765
    trusted_proxies: int = 0
    database_url: str = ""
    pepper_file: str = "pepper"
    shared_idle_minutes: int = 10
    own_idle_days: int = 30
    slip_days: int = 14
    keep_sign_ins_days: int = 90
    log_level: str = "info"
    log_megabytes: int = 10

    @property
    def address(self) -> str:
        """Where people reach the site, without a closing slash."""
        written = self.site_address or f"http://localhost:{self.listen_port}"
        return written.rstrip("/")

    def database(self, instance: Path) -> str:
        """Address of the database; a file in the instance folder unless written."""
        if self.database_url:
            return self.database_url
        return f"sqlite:///{(instance / 'academy.db').as_posix()}"

    def pepper(self, instance: Path) -> Path:
        """File of the secret that is mixed into every PIN."""
        return instance / self.pepper_file


def read(instance: Path) -> Settings:
    """Settings of an instance folder; the defaults when there is no file.

    Raises ContentError naming the file and the key.
    """
    path = instance / FILE_NAME
    if not path.is_file():
        return Settings()
    return from_mapping(_parsed(path), FILE_NAME)


def from_mapping(written: Mapping[str, Any], file: str) -> Settings:
    """Settings from already parsed keys; ``file`` names them in a refusal."""
    kinds = {field.name: type(field.default) for field in fields(Settings)}
    for name, value in written.items():
        if name not in kinds:
            raise ContentError("setting_not_known", file=file, name=name)
        _check(file, name, value, kinds[name])
    return Settings(**written)


def _parsed(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as found:
        raise ContentError(
            "setting_file_broken", file=path.name, found=str(found)
        ) from found


def _check(file: str, name: str, value: object, kind: type) -> None:
    if type(value) is not kind:
        key = "setting_not_a_number" if kind is int else "setting_not_a_text"
        raise ContentError(key, file=file, name=name, value=value)
    if isinstance(value, int):
        _check_range(file, name, value)
    if name == "site_address" and isinstance(value, str):
        _check_address(file, name, value)
    if name == "log_level" and value not in LOG_LEVELS:
        listed = ", ".join(LOG_LEVELS)
        raise ContentError(
            "setting_not_a_choice", file=file, name=name, value=value, choices=listed
        )


def _check_range(file: str, name: str, value: int) -> None:
    if value < _LEAST[name]:
        raise ContentError(
            "setting_too_small", file=file, name=name, value=value, least=_LEAST[name]
        )
    if value > _MOST.get(name, value):
        raise ContentError(
            "setting_too_large", file=file, name=name, value=value, most=_MOST[name]
        )


def _check_address(file: str, name: str, value: str) -> None:
    if value and not value.startswith(("http://", "https://")):
        raise ContentError("setting_not_an_address", file=file, name=name, value=value)
