"""Classes of ground told in words, each with its roughness."""

from functools import cache

from pydantic import RootModel

from academy import paths
from academy.catalog.evidence import Evidenced
from academy.catalog.toml_files import Record, Twin, read


class Ground(Record):
    """One class of ground."""

    name: Twin
    roughness: Evidenced
    ridge_height: Evidenced | None = None


class _Grounds(RootModel[dict[str, Ground]]):
    pass


@cache
def load() -> dict[str, Ground]:
    """Classes of ground by key; raises ContentError."""
    return read(_Grounds, paths.content() / "grounds.toml").root
