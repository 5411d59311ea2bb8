"""What every test needs before Qt is imported, and a server of PostgreSQL where one is asked for."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from tests.postgresql import Server, programs

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
# How long an example takes says how busy the machine is, and nothing of what is tested.
settings.register_profile(
    "steady", parent=settings(), deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("steady")


def pytest_collection() -> None:
    """What is collected stays to the end: the collector of garbage need not look at it while it is made."""
    gc.disable()


def pytest_collection_finish() -> None:
    gc.freeze()
    gc.enable()


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """One server for all tests of a process; each takes databases of its own."""
    if programs() is None:
        pytest.skip("PostgreSQL's server is not installed here")
    its = Server()
    yield its
    its.close()
