"""Runs the steps that are missing."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Connection


def configuration(connection: Connection) -> Config:
    """Alembic's configuration for one open connection."""
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def upgrade(connection: Connection) -> None:
    """Bring the tables up to date inside the transaction of `connection`."""
    command.upgrade(configuration(connection), "head")
