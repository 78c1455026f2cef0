"""The files of a bundle as bytes, from a folder or a zip that nobody need trust."""

from __future__ import annotations

import re
import stat
import zipfile
from pathlib import Path, PurePosixPath

from athletes.records.bundle.columns import TABLES
from athletes.records.bundle.report import BadBundle, BadRow, bad_row

MANIFEST = "manifest.json"
WHOLE = "everything.json"
"""What an athlete's own export holds beside the bundle; an import asks it what each photo is of."""
NAMES = frozenset({MANIFEST, WHOLE, *TABLES})
PICTURE = re.compile(r"photo-[\w-]+\.webp", re.ASCII)
"""The athlete's photos in the same export; `pictures` reads them."""
LARGEST_BYTES = 200_000_000
MOST_MEMBERS = 1000


def contents(path: Path) -> dict[str, bytes]:
    """Bytes by file name. Raises BadBundle for anything that is no part of a bundle."""
    if path.is_dir():
        return _folder(path)
    if path.is_file() and zipfile.is_zipfile(path):
        return _zip(path)
    raise BadBundle([bad_row(str(path), None, None, "not-a-bundle")])


def _folder(path: Path) -> dict[str, bytes]:
    """Only CSV and JSON files are looked at, so that a picture or a text may lie beside them."""
    files = [f for f in sorted(path.iterdir()) if f.suffix.lower() in (".csv", ".json") and f.name[0] != "."]
    bad = _unknown([f.name for f in files])
    bad += [bad_row(f.name, None, None, "link") for f in files if f.is_symlink()]
    bad += [bad_row(f.name, None, None, "not-a-file") for f in files if not f.is_symlink() and not f.is_file()]
    size = sum(f.stat().st_size for f in files if not f.is_symlink())
    if size > LARGEST_BYTES:
        bad.append(bad_row(path.name, None, None, "too-large", hint=f"{LARGEST_BYTES:,} bytes"))
    if bad:
        raise BadBundle(bad)
    return {f.name: f.read_bytes() for f in files}


def _unknown(names: list[str]) -> list[BadRow]:
    hint = ", ".join([MANIFEST, *TABLES])
    strange = (name for name in names if name not in NAMES and not PICTURE.fullmatch(name))
    return [bad_row(name, None, None, "unknown-file", hint=hint) for name in strange]


def _zip(path: Path) -> dict[str, bytes]:
    try:
        with zipfile.ZipFile(path) as archive:
            return _members(archive, path)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, OSError, EOFError) as error:
        raise BadBundle([bad_row(path.name, None, None, "not-a-bundle")]) from error


def _members(archive: zipfile.ZipFile, path: Path) -> dict[str, bytes]:
    infos = archive.infolist()
    if len(infos) > MOST_MEMBERS or sum(info.file_size for info in infos) > LARGEST_BYTES:
        hint = f"{MOST_MEMBERS} files, {LARGEST_BYTES:,} bytes"
        raise BadBundle([bad_row(path.name, None, None, "too-large", hint=hint)])
    if bad := [found for info in infos if (found := _unsafe(info))]:
        raise BadBundle(bad)
    files = [info for info in infos if not info.is_dir()]
    names = _without_folder([info.filename for info in files])
    bad = _unknown(names)
    bad += [bad_row(name, None, None, "name-twice") for name in set(names) if names.count(name) > 1]
    if bad:
        raise BadBundle(bad)
    return {name: archive.read(info) for name, info in zip(names, files, strict=True)}


def _unsafe(info: zipfile.ZipInfo) -> BadRow | None:
    name = info.orig_filename
    parts = PurePosixPath(name).parts
    if name.startswith("/") or ".." in parts or "\\" in name or ":" in name or "\0" in name:
        return bad_row(name.replace("\0", "?"), None, None, "path-outside")
    if stat.S_ISLNK(info.external_attr >> 16):
        return bad_row(name, None, None, "link")
    return None


def _without_folder(names: list[str]) -> list[str]:
    """The names without the one folder that holds them all, where there is one."""
    folders = {name.split("/", 1)[0] for name in names if "/" in name}
    if len(folders) == 1 and all("/" in name for name in names):
        return [name.split("/", 1)[1] for name in names]
    return names
