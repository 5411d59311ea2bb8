"""The core as a library: the worked calls of the page for developers run, and it imports alone."""

from __future__ import annotations

import doctest
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SECTION = "## Ten worked calls"
ALONE = """
import importlib, pkgutil, sys

class Wall:
    def find_spec(self, name, path=None, target=None):
        top = name.partition(".")[0]
        if top not in sys.stdlib_module_names and top not in ("ctcore", "numpy"):
            raise ImportError(f"the core asks for {name}")
        return None

sys.meta_path.insert(0, Wall())
import ctcore
names = [entry.name for entry in pkgutil.walk_packages(ctcore.__path__, "ctcore.")]
for name in names:
    importlib.import_module(name)
from ctcore.job import from_plain
from ctcore.judge import judge
print(len(names), judge(from_plain({"job_id": "j1", "header": {"number_text": "1"}})))
"""


def worked_calls() -> str:
    section = (ROOT / "DEVELOPERS.md").read_text("utf-8").split(SECTION, 1)[1].split("\n## ", 1)[0]
    (block,) = re.findall(r"```pycon\n(.*?)```", section, re.S)
    return str(block)


def test_the_worked_calls_give_what_is_printed_beside_them() -> None:
    test = doctest.DocTestParser().get_doctest(worked_calls(), {}, "DEVELOPERS.md", "DEVELOPERS.md", 0)

    result = doctest.DocTestRunner(verbose=False).run(test)

    assert (result.failed, result.attempted > 20) == (0, True)


def test_there_are_ten_worked_calls() -> None:
    numbers = re.findall(r"# (\d+) ", worked_calls())

    assert numbers == [str(number) for number in range(1, 11)]


def test_the_core_imports_with_numpy_alone() -> None:
    done = subprocess.run(
        [sys.executable, "-c", ALONE], cwd=ROOT, capture_output=True, text=True, check=False
    )

    assert done.stderr == ""
    assert done.stdout.split()[1:] == ["[]"]
    assert int(done.stdout.split()[0]) > 80
