"""The service as tests ask it: one for a whole process, so that it is described once."""

from __future__ import annotations

from service.app import create_app

APP = create_app()
