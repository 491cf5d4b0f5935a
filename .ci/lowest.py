"""Print the lowest version that pyproject.toml declares of each runtime package, as constraints for pip."""

from __future__ import annotations

import re
import sys
import tomllib
from pathlib import Path


def lowest(pyproject: Path) -> list[str]:
    """Return ``name==version`` for each runtime package, and fail where one declares no lowest version."""
    found = []
    for declared in tomllib.loads(pyproject.read_text(encoding="utf-8"))["project"]["dependencies"]:
        parts = re.match(r"([\w.-]+)\s*>=\s*([\w.]+)", declared)
        if parts is None:
            raise SystemExit(f"{pyproject}: {declared!r} declares no lowest version; write it as name>=version")
        found.append(f"{parts[1]}=={parts[2]}")
    return found


sys.stdout.write("\n".join(lowest(Path(sys.argv[1]))) + "\n")
