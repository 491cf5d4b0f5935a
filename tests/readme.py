"""The README's console blocks: each command is run and its output stands below it. ``python -m tests.readme`` refreshes them."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"


def refreshed(text: str) -> str:
    """Return the README with the output of every command as it is now."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        shutil.copytree(ROOT / "sample", folder / "sample")
        return re.sub(r"```console\n\$ (.*?)\n(.*?)```", lambda block: _run(block[1], folder), text, flags=re.DOTALL)


def _run(command: str, folder: Path) -> str:
    program, *rest = command.split()
    if program != "costing":
        raise ValueError(f"the README shows only commands of costing, and not: {command}")
    done = subprocess.run(
        [sys.executable, "-m", "costing", *rest], cwd=folder, capture_output=True, text=True, encoding="utf-8", check=True
    )
    return f"```console\n$ {command}\n{done.stdout.rstrip()}\n```"


if __name__ == "__main__":
    README.write_text(refreshed(README.read_text(encoding="utf-8")), encoding="utf-8")
