"""A service with an empty log book, as the tests of the log book have it."""

from tests.store.conftest import client, folder

__all__ = ["client", "folder"]
