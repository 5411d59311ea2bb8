"""An independent circuit simulator beside the core's own sums."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

# Run by the system's own Python, beside the window that it listens to; nothing here to collect.
collect_ignore = ["listening.py"]

Simulate = Callable[..., dict[str, np.ndarray]]


@pytest.fixture
def simulate(tmp_path: Path) -> Simulate:
    """Runs a netlist in ngspice (the Debian package); gives time and the vectors named, at every step."""
    program = shutil.which("ngspice")
    if program is None:
        pytest.skip("ngspice is not installed: apt-get install -y ngspice")

    def run(netlist: str, *names: str) -> dict[str, np.ndarray]:
        control = f".control\nrun\nwrdata steps.txt {' '.join(names)}\n.endc\n.end\n"
        (tmp_path / "circuit.cir").write_text(netlist + control, encoding="utf-8")
        steps = tmp_path / "steps.txt"
        steps.unlink(missing_ok=True)
        ended = subprocess.run(
            [program, "-b", "circuit.cir"],
            capture_output=True,
            text=True,
            check=False,
            timeout=120,
            cwd=tmp_path,
        )
        assert steps.exists(), ended.stdout + ended.stderr
        # Each vector stands beside a time column of its own.
        table = np.loadtxt(steps, unpack=True)
        return {"time": table[0], **{name: table[2 * place + 1] for place, name in enumerate(names)}}

    return run
