"""Runs the steps of the archive on the connection and in the transaction that the program hands over."""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"], target_metadata=None, render_as_batch=True
)
context.run_migrations()
