"""The README's pictures: ``python -m tests.pictures`` prints the sample's answer pages, by LibreOffice and pdftoppm."""

from __future__ import annotations

import re
import subprocess
import tempfile
from pathlib import Path

import costing
from tests.seasons import SAMPLE
from tests.workbook.libreoffice import soffice

PAGES = {"at-a-glance": "Thistlewrack", "decide": "Decide", "make-and-buy": "Make and buy", "weigh-out": "Weigh out"}
RESOLUTION = "80"  # dots per inch


def main() -> None:
    """Export the sample, print it, and keep the first page of each answer sheet beside the sample."""
    with tempfile.TemporaryDirectory() as scratch:
        book = Path(scratch) / "sample.xlsx"
        costing.export(costing.cost(costing.read_season(SAMPLE)), book)
        _run(soffice(), "--headless", "--convert-to", "pdf", "--outdir", scratch, str(book))
        paper = book.with_suffix(".pdf")
        pages = _run("pdftotext", "-layout", str(paper), "-").split("\f")
        for name, title in PAGES.items():
            at = next(number for number, text in enumerate(pages, start=1) if re.match(rf"\s*{title}", text))
            target = SAMPLE / name
            _run("pdftoppm", "-r", RESOLUTION, "-png", "-singlefile", "-f", str(at), "-l", str(at), str(paper), str(target))


def _run(*command: str) -> str:
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


if __name__ == "__main__":
    main()
