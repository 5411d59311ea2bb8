"""The kernel itself drops all on a laptop's line to PostgreSQL: it is noticed, and nothing comes twice.

Wants a network of its own, for which the rights of the system's keeper are needed.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys

import pytest

from tests.postgresql import programs

_APART = ["unshare", "--net"]


@pytest.fixture(scope="module")
def told() -> dict[str, object]:
    """What the laptop was told, in a network of its own."""
    if programs() is None or not shutil.which("ip") or not shutil.which("unshare"):
        pytest.skip("PostgreSQL's server, or what makes a network, is not installed here")
    if subprocess.run([*_APART, "true"], check=False, capture_output=True).returncode:
        pytest.skip("this machine lets nobody have a network of his own")
    command = [*_APART, sys.executable, "-m", "tests.app.jobstore.archive.silent_line"]
    done = subprocess.run(command, check=True, capture_output=True, text=True, timeout=120)
    found: dict[str, object] = json.loads(done.stdout)
    return found


def test_a_line_that_is_silent_is_said_so_while_everything_is_kept(told: dict[str, object]) -> None:
    assert str(told["said"]).startswith("Everything on this computer is kept and waits.")
    assert "does not answer" in str(told["said"])


def test_it_is_noticed_without_an_answer_of_anybody(told: dict[str, object]) -> None:
    assert 1.0 < float(str(told["lasted_s"])) < 60.0


def test_what_was_sent_into_the_silence_arrives_once_afterwards(told: dict[str, object]) -> None:
    assert told["count"] == 2
