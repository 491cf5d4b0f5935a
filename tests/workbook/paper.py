"""The pages that LibreOffice prints of a workbook, and how many letters each shows."""

from __future__ import annotations

import re
import subprocess
import tempfile
import zlib
from pathlib import Path

from tests.workbook.libreoffice import soffice

_OBJECT = re.compile(rb"(\d+) 0 obj(.*?)endobj", re.DOTALL)
_STREAM = re.compile(rb"stream\r?\n(.*?)\r?\nendstream", re.DOTALL)
_CONTENTS = re.compile(rb"/Type/Page/.*?/Contents (\d+) 0 R", re.DOTALL)
_SHOWN = re.compile(rb"<([0-9A-Fa-f]+)>")


def letters_by_page(book: Path) -> list[int]:
    """Return how many letters stand on each page."""
    with tempfile.TemporaryDirectory() as scratch:
        subprocess.run(
            [soffice(), f"-env:UserInstallation=file://{scratch}/profile", "--headless", "--norestore", "--convert-to",
             "pdf", "--outdir", scratch, str(book)],
            check=True, capture_output=True, timeout=300,
        )  # fmt: skip
        pdf = (Path(scratch) / f"{book.stem}.pdf").read_bytes()
    objects = {int(number): body for number, body in _OBJECT.findall(pdf)}
    pages = [_CONTENTS.search(body) for body in objects.values()]
    return [_letters(objects[int(page[1])]) for page in pages if page]


def _letters(contents: bytes) -> int:
    stream = _STREAM.search(contents)
    assert stream, "a page without contents"
    return sum(len(shown) // 2 for shown in _SHOWN.findall(zlib.decompress(stream[1])))
