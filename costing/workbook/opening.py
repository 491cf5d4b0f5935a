"""Opening a workbook that may come from anywhere: its parts are checked before anything is read."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from pathlib import Path
from typing import Any

import openpyxl

from costing.errors import Refusal

MOST_BYTES = 100_000_000
MOST_RATIO = 200
MOST_PARTS = 500
_SMALL = 1_000_000  # parts below this are let be: they pack tightly without doing harm
_NEEDED = ("[Content_Types].xml", "xl/workbook.xml")


def checked_bytes(path: Path) -> bytes:
    """Return a workbook's bytes after a look at its directory and its XML.

    Raises
    ------
    Refusal
        When it cannot be read, is no workbook, unpacks to too much, or holds what no season needs.

    """
    try:
        data = path.read_bytes()
    except OSError as error:
        raise Refusal(f"{path}: cannot be read ({error.strerror})") from None
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            _check_directory(path, archive)
            _check_xml(path, archive)
    except (
        zipfile.BadZipFile,
        zipfile.LargeZipFile,
        NotImplementedError,
        EOFError,
        OSError,
        RuntimeError,
        ValueError,
    ) as error:
        raise Refusal(f"{path}: is no readable .xlsx workbook ({error}); save it again as .xlsx") from None
    except Exception as error:  # zlib and lzma have errors of their own
        if type(error).__module__ in ("zlib", "lzma", "_lzma"):
            raise Refusal(f"{path}: is damaged ({error}); take an older copy") from None
        raise
    return data


def _check_directory(path: Path, archive: zipfile.ZipFile) -> None:
    parts = archive.infolist()
    names = [part.filename for part in parts]
    total = sum(part.file_size for part in parts)
    packed = sum(part.compress_size for part in parts)
    if any(needed not in names for needed in _NEEDED):
        raise Refusal(f"{path}: is a zip file but no workbook; save it as .xlsx")
    if len(parts) > MOST_PARTS or len(set(names)) != len(names):
        raise Refusal(f"{path}: holds {len(parts)} parts, some perhaps twice; it is not opened")
    if total > MOST_BYTES or total > MOST_RATIO * max(packed, _SMALL // MOST_RATIO):
        raise Refusal(f"{path}: would unpack to {total / 1e6:.0f} MB; it is not opened")
    strange = [name for name in names if ".." in name or name.startswith(("/", "\\")) or ":" in name]
    if strange:
        raise Refusal(f"{path}: holds a part named {strange[0]!r}; it is not opened")


def _check_xml(path: Path, archive: zipfile.ZipFile) -> None:
    """Refuse XML that declares entities: no program writes it into a workbook, but attackers do."""
    read = 0
    for part in archive.infolist():
        if not part.filename.endswith((".xml", ".rels")):
            continue
        with archive.open(part) as opened:
            start = opened.read(4096)
            read += len(start)
            plain = start.replace(b"\0", b"").upper()
            if b"<!DOCTYPE" in plain or b"<!ENTITY" in plain:
                raise Refusal(f"{path}: {part.filename} declares entities; it is not opened")


def load(path: Path, data: bytes, *, results: bool) -> Any:
    """Return the workbook, with the stored results of its formulas or with the formulas themselves.

    Raises
    ------
    Refusal
        When its parts do not fit together.

    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return openpyxl.load_workbook(io.BytesIO(data), data_only=results, keep_links=False, keep_vba=False)
    except Refusal:
        raise
    except Exception as error:  # a damaged workbook makes openpyxl fail in any way there is
        what = re.sub(r"\s+", " ", str(error))[:120]
        raise Refusal(
            f"{path}: cannot be read as a workbook ({type(error).__name__}: {what}); save it again as .xlsx"
        ) from None
