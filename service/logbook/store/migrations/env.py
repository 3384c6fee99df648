"""Run by alembic: the steps on the connection it was given."""

from alembic import context

from service.logbook.store.models import Base

context.configure(connection=context.config.attributes["connection"], target_metadata=Base.metadata)
context.run_migrations()
