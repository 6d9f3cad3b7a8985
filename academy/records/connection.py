"""The connection that deeds pass to queries; deeds need not know whose it is."""

from sqlalchemy import Connection

__all__ = ["Connection"]
