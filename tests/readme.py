"""The README's console blocks and tables as the program has them now. ``python -m tests.readme`` refreshes them."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from costing.records.guide import described
from costing.records.schema import RECORD_TABLES

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"


TABLES = ("<!-- tables: written by python -m tests.readme -->\n", "<!-- end of tables -->")


def refreshed(text: str) -> str:
    """Return the README with the output of every command, and every table and column, as they are now."""
    before, _, rest = text.partition(TABLES[0])
    _, _, after = rest.partition(TABLES[1])
    text = before + TABLES[0] + "\n".join(_tables()) + "\n" + TABLES[1] + after
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        shutil.copytree(ROOT / "sample", folder / "sample")
        return re.sub(r"```console\n\$ (.*?)\n(.*?)```", lambda block: _run(block[1], folder), text, flags=re.DOTALL)


def _tables() -> Iterator[str]:
    for table in RECORD_TABLES:
        yield f"\n**{table.name}**{' (must be there)' if table.required else ''}. {table.about}\n"
        for key, note in described(table):
            yield f"- `{key.rstrip('*')}`{'*' if key.endswith('*') else ''}: {note}"


def _run(command: str, folder: Path) -> str:
    program, *rest = shlex.split(command)
    if program != "costing":
        raise ValueError(f"the README shows only commands of costing, and not: {command}")
    done = subprocess.run(
        [sys.executable, "-m", "costing", *rest], cwd=folder, capture_output=True, text=True, encoding="utf-8", check=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    return f"```console\n$ {command}\n{done.stdout.rstrip()}\n```"


if __name__ == "__main__":
    README.write_text(refreshed(README.read_text(encoding="utf-8")), encoding="utf-8")
