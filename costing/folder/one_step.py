"""Several files written in one step: prepared beside, put in place with a journal, and completed or taken back."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from costing.errors import FileTrouble, Refusal
from costing.folder.left_over import clear_left_over, hold, left_over
from costing.folder.safe_writing import checked, flush_folder, temporary_beside, write_atomically

STEP = ".carrying"  # the folder that holds what is being put in place
_JOURNAL, _OLD, _NEW = "journal.json", "old", "new"
Files = Mapping[str, bytes]  # by their place in the folder, as kept/carried.json


@dataclass(frozen=True)
class Step:
    """What is to become of a folder's files.

    seen: the files that this was worked out from; new: those to write; copied: of which of them a copy is kept, and kept:
    the name of the folder for the copies.
    """

    folder: Path
    seen: Files
    new: Files
    copied: tuple[str, ...]
    kept: str


def in_one_step(step: Step) -> list[Path]:
    """Replace files all together, or none of them, and return the copies that were kept.

    Raises
    ------
    Refusal
        When a file is no longer what was seen, cannot be replaced, or another program is at work in the folder.

    """
    folder = step.folder
    _refuse_changed(step)
    for name in step.new:
        checked(folder / name, replace=True)
    prepared = temporary_beside(folder / STEP)
    try:
        with _held_folder(prepared):
            _prepare(prepared, step)
            _begin(prepared, folder)
            journal = _read_journal(folder)
            if journal is None or _state(folder, journal) != {"old"}:
                _clear(folder)
                _refuse_changed(step)
                raise Refusal(f"{folder}: was changed meanwhile; nothing was written. Run the command again")
            return _put_in_place(folder, journal)
    except OSError as error:
        left = "the next command puts it in order" if (folder / STEP).exists() else "it is as it was"
        raise FileTrouble(f"{folder}: cannot be written into ({error.strerror}); {left}") from None
    finally:
        with contextlib.suppress(OSError):
            shutil.rmtree(prepared)


def settle(folder: Path) -> str:
    """Complete or take back what a killed program left half done in a folder, and say so; nothing is said of a whole one.

    Raises
    ------
    Refusal
        When another program is at work there, or what it left cannot be put in order.

    """
    place, told = folder / STEP, ""
    try:
        if place.is_dir():
            with left_over(place) as free:
                if not free:
                    raise Refusal(f"{folder}: another program is carrying edits into it; run the command again after that")
                told = _settled(folder)
        for each in (folder, folder / "kept"):
            clear_left_over(each)
    except FileNotFoundError:  # settled by another program in this moment
        return ""
    except OSError as error:
        raise FileTrouble(f"{place}: cannot be put in order ({error.strerror}); mend that, and run it again") from None
    return told


def _settled(folder: Path) -> str:
    journal = _read_journal(folder)
    if journal is None:
        raise Refusal(f"{folder / STEP}: is not what carrying leaves there; move it elsewhere")
    tables = ", ".join(name for name in journal["new"] if "/" not in name)
    states = _state(folder, journal)
    if "other" not in states:
        _put_in_place(folder, journal)
        return f"a carrying that was cut short was completed ({tables})"
    changed = ", ".join(name for name, state in _states(folder, journal).items() if state == "other")
    _take_back(folder, journal)
    return f"a carrying that was cut short was taken back ({tables}), since {changed} was changed after it; carry again"


def new_folder(folder: Path, files: Files) -> bool:
    """Make a folder with files in it, all at once; return whether it was made, which fails where there is one meanwhile."""
    prepared = temporary_beside(folder)
    try:
        with _held_folder(prepared):
            for name, data in files.items():
                _write_new(prepared / name, data)
            try:
                os.rename(prepared, folder)
            except OSError:
                if not folder.is_dir():
                    raise
                return False
            flush_folder(folder.parent)
            return True
    finally:
        with contextlib.suppress(OSError):
            shutil.rmtree(prepared)


# -- before --


def _refuse_changed(step: Step) -> None:
    for name, data in step.seen.items():
        path = step.folder / name
        found = path.read_bytes() if path.is_file() else None
        if found != data:
            what = "is gone" if found is None else "was changed"
            raise Refusal(f"{path}: {what} while carrying waited; nothing was written. Carry again")
    for name in step.new.keys() - step.seen.keys():
        if (step.folder / name).exists():
            raise Refusal(f"{step.folder / name}: was made while carrying waited; nothing was written. Carry again")


@contextlib.contextmanager
def _held_folder(path: Path) -> Iterator[None]:
    path.mkdir()
    handle = os.open(path, os.O_RDONLY) if os.name == "posix" else None
    try:
        if handle is not None:
            hold(handle)
        if not path.is_dir():  # taken for left over before it was held
            raise _busy(path.parent)
        yield
    finally:
        if handle is not None:
            os.close(handle)


def _prepare(prepared: Path, step: Step) -> None:
    """Write all that is needed to complete or take back into a folder of its own, and have it on disk."""
    for part, files in ((_OLD, step.seen), (_NEW, step.new)):
        (prepared / part).mkdir()
        for at, name in enumerate(step.new):
            if name in files:
                _write_new(prepared / part / f"{at}", files[name])
    journal = {
        "seen": {name: _digest(data) for name, data in step.seen.items()},
        "new": {name: _digest(data) for name, data in step.new.items()},
        "copied": [name for name in step.copied if name in step.seen],
        "kept": _free_place(step.folder, step.kept),
    }
    _write_new(prepared / _JOURNAL, json.dumps(journal).encode())


def _write_new(path: Path, data: bytes) -> None:
    """Write a file into a folder that nobody else looks into, and have it on disk."""
    with open(path, "xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _begin(prepared: Path, folder: Path) -> None:
    """Give what was prepared the name by which it is found: from now on it is completed, whatever happens."""
    try:
        os.rename(prepared, folder / STEP)
    except FileExistsError:
        raise _busy(folder) from None
    except OSError:
        if (folder / STEP).exists():
            raise _busy(folder) from None
        raise
    flush_folder(folder)


def _busy(folder: Path) -> Refusal:
    return Refusal(f"{folder}: another program is carrying edits into it; nothing was written. Carry again after that")


# -- after --


def _read_journal(folder: Path) -> dict[str, Any] | None:
    """Return what is to be done, if it has the form of a journal and leads nowhere else."""
    try:
        found = json.loads((folder / STEP / _JOURNAL).read_bytes())
        names = [*found["seen"], *found["new"], *found["copied"], found["kept"].removeprefix("kept/")]
        fits = all(isinstance(name, str) and ".." not in name and not name.startswith(("/", "\\")) for name in names)
    except (ValueError, KeyError, TypeError, FileNotFoundError):
        return None
    return found if fits else None


def _states(folder: Path, journal: Mapping[str, Any]) -> dict[str, str]:
    """Return of each file whether it is as it was, as it is to be, or neither."""
    states = {}
    for name in journal["seen"] | journal["new"]:
        path = folder / name
        digest = _digest(path.read_bytes()) if path.is_file() else None
        if digest == journal["seen"].get(name):
            states[name] = "old"
        else:
            states[name] = "new" if digest == journal["new"].get(name) else "other"
    return states


def _state(folder: Path, journal: Mapping[str, Any]) -> set[str]:
    return set(_states(folder, journal).values())


def _put_in_place(folder: Path, journal: Mapping[str, Any]) -> list[Path]:
    try:
        for at, name in enumerate(journal["new"]):
            (folder / name).parent.mkdir(exist_ok=True)
            data = (folder / STEP / _NEW / f"{at}").read_bytes()
            write_atomically(folder / name, data, replace=True)
        kept = _keep_copies(folder, journal)
    except BaseException:
        with contextlib.suppress(OSError, Refusal):
            _take_back(folder, journal)
        raise
    _clear(folder)
    return kept


def _keep_copies(folder: Path, journal: Mapping[str, Any]) -> list[Path]:
    """Put the copies of what was there where the maker finds them, in a folder that has only them in it."""
    place = folder / journal["kept"]
    if journal["copied"] and not place.exists():
        gathered = temporary_beside(place)
        gathered.mkdir(parents=True)
        for at, name in enumerate(journal["new"]):
            if name in journal["copied"]:
                _write_new(gathered / name, (folder / STEP / _OLD / f"{at}").read_bytes())
        os.rename(gathered, place)
    return [place / name for name in journal["copied"]]


def _free_place(folder: Path, wanted: str) -> str:
    """Return where in a folder copies can be kept: what is there under that name is of another time."""
    numbered = (f"{wanted} ({at})" for at in range(2, 1000))
    name = next((name for name in (wanted, *numbered) if not (folder / "kept" / name).exists()), None)
    if name is None:
        raise Refusal(f"{folder / 'kept'}: holds too many copies; move some elsewhere")
    return f"kept/{name}"


def _take_back(folder: Path, journal: Mapping[str, Any]) -> None:
    """Put back what was there, but for what somebody else changed."""
    states = _states(folder, journal)
    for at, name in enumerate(journal["new"]):
        if states[name] != "new":
            continue
        if name in journal["seen"]:
            write_atomically(folder / name, (folder / STEP / _OLD / f"{at}").read_bytes(), replace=True)
        else:
            (folder / name).unlink()
    if journal["copied"] and (folder / journal["kept"]).exists():  # its name was free before
        shutil.rmtree(folder / journal["kept"])
    _clear(folder)


def _clear(folder: Path) -> None:
    """Take the journal away first: without it there is nothing left to do."""
    done = temporary_beside(folder / STEP)
    os.rename(folder / STEP, done)
    flush_folder(folder)
    with contextlib.suppress(OSError):  # what stays is cleared away by the next command
        shutil.rmtree(done)


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
