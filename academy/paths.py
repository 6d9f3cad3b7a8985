"""Where content, static files and the instance folder lie.

A wheel carries ``content`` and ``static`` in ``academy/_data`` beside this file; a
checkout has them beside the package. An editable install may leave a stale copy of
``_data`` in site-packages: only the one beside this very file counts.
"""

import os
from pathlib import Path

_HERE = Path(__file__).resolve().parent


def _data_root() -> Path:
    packed = _HERE / "_data"
    return packed if packed.is_dir() else _HERE.parent


def content() -> Path:
    """Folder of everything agronomists and instructors write."""
    return _data_root() / "content"


def static() -> Path:
    """Folder of style sheets, scripts and icons."""
    return _data_root() / "static"


def instance() -> Path:
    """Folder of this farm's settings and data; made when missing.

    ``ACADEMY_INSTANCE`` names it; else ``instance`` in a checkout; else ``instance`` in
    the current folder.
    """
    named = os.environ.get("ACADEMY_INSTANCE")
    if named:
        folder = Path(named)
    elif (_HERE.parent / "pyproject.toml").is_file():
        folder = _HERE.parent / "instance"
    else:
        folder = Path.cwd() / "instance"
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder
