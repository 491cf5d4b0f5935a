"""The files of csv-spectrum, made by others to try CSV parsers with, against the JSON that stands beside them.

The package (2.0.0, BSD-2-Clause) is fetched by npm when the tests run; none of it is kept here.
"""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import tarfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

import pytest

from costing.folder.csv_text import read_csv

PACKAGE = "csv-spectrum@2.0.0"
LINE_ENDS = {"empty_crlf": "CRLF", "newlines_crlf": "CRLF", "simple_crlf": "CRLF"}
NAMES = [
    "comma_in_quotes",
    "empty",
    "empty_crlf",
    "escaped_quotes",
    "json",
    "location_coordinates",
    "newlines",
    "newlines_crlf",
    "quotes_and_newlines",
    "simple",
    "simple_crlf",
    "utf8",
]


@dataclass(frozen=True)
class Case:
    """A file's bytes, and its rows by column."""

    data: bytes
    expected: list[dict[str, str]]


@pytest.fixture(scope="session")
def corpus(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Case]:
    """Fetch the package; in CI it must be there, on a maker's machine its tests are skipped."""
    members = _members(_packed(tmp_path_factory.mktemp("corpus")))
    names = [name.removeprefix("csvs/").removesuffix(".csv") for name in members if name.startswith("csvs/")]
    return {name: Case(members[f"csvs/{name}.csv"], _rows(members[f"json/{name}.json"])) for name in names}


def _packed(folder: Path) -> Path:
    npm = shutil.which("npm")
    if npm is None:
        _missing("npm is not installed")
    command = [str(npm), "pack", PACKAGE, "--loglevel=error"]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    if done.returncode:
        _missing(f"npm cannot fetch {PACKAGE} ({' '.join(done.stderr.split())[:200]})")
    return next(folder.glob("*.tgz"))


def _missing(why: str) -> NoReturn:
    if os.environ.get("CI"):
        pytest.fail(f"{why}; in CI the corpus must be there")
    pytest.skip(f"{why}: CSV is not tried on the corpus")


def _members(archive: Path) -> dict[str, bytes]:
    with tarfile.open(fileobj=io.BytesIO(archive.read_bytes())) as tar:
        files = {member.name.removeprefix("package/"): tar.extractfile(member) for member in tar}
        return {name: file.read() for name, file in files.items() if file}


def _rows(data: bytes) -> list[dict[str, str]]:
    found: Any = json.loads(data)
    return found if isinstance(found, list) else [found]


def test_the_corpus_is_the_one_known_here(corpus: dict[str, Case]) -> None:
    assert sorted(corpus) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_file_of_the_corpus_reads_as_its_json_says(corpus: dict[str, Case], name: str) -> None:
    case = corpus[name]
    expected = case.expected
    if name == "location_coordinates":  # the one JSON that has another telephone number than its CSV
        expected = [{**row, "Contact Phone Number": "2095257564"} for row in expected]
    text = read_csv(case.data, f"{name}.csv")
    (first, heading), *rows = text.rows
    assert first == 1
    assert [dict(zip(heading, cells, strict=True)) for _, cells in rows] == expected
    assert [number for number, _ in rows] == list(range(2, len(rows) + 2))
    assert (str(text.encoding), text.delimiter, text.faults) == ("UTF-8", ",", ())
    assert text.line_ends == LINE_ENDS.get(name, "LF")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("codec", ["utf-8-sig", "utf-16"])
def test_a_file_of_the_corpus_reads_alike_in_another_encoding(corpus: dict[str, Case], name: str, codec: str) -> None:
    plain, other = (read_csv(data, name) for data in (corpus[name].data, corpus[name].data.decode().encode(codec)))
    assert other.rows == plain.rows
    assert other.encoding != plain.encoding
