"""JSON-LD contexts of the open standards we write: fixed files, never the network."""

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from academy import paths
from academy.errors import NotUnderstood

CREDENTIALS = "https://www.w3.org/ns/credentials/v2"
BADGES = "https://purl.imsglobal.org/spec/ob/v3p0/context-3.0.3.json"
BADGE_EXTENSIONS = "https://purl.imsglobal.org/spec/ob/v3p0/extensions.json"
FILES: Mapping[str, str] = {
    CREDENTIALS: "credentials-v2.json",
    BADGES: "open-badges-3.0.3.json",
    BADGE_EXTENSIONS: "open-badges-extensions.json",
}


@cache
def known(address: str) -> Mapping[str, Any]:
    """The context of an address; raises NotUnderstood for one we do not carry."""
    if address not in FILES:
        raise NotUnderstood("context_not_known", text=address)
    path = paths.static() / "vendor" / "contexts" / FILES[address]
    read: Mapping[str, Any] = json.loads(path.read_text("utf-8"))
    return read


def load(address: str, _options: object = None) -> dict[str, Any]:
    """The same, as a JSON-LD processor asks for it; raises NotUnderstood."""
    return {
        "contentType": "application/ld+json",
        "contextUrl": None,
        "documentUrl": address,
        "document": known(address),
    }
