"""Files of others that we serve: unchanged, licensed, and of the version that the Python side writes for."""

import hashlib
import re
from pathlib import Path

import pytest

STATIC = Path(__file__).parents[2] / "coaching" / "config" / "static" / "tenpads"
VENDOR = STATIC / "vendor"
LISTED = [line.split("  ", 1) for line in (VENDOR / "SHA256SUMS").read_text().splitlines()]


@pytest.mark.parametrize(("digest", "name"), LISTED, ids=[name for _, name in LISTED])
def test_file_is_the_one_whose_checksum_was_noted(digest, name):
    assert hashlib.sha256((VENDOR / name).read_bytes()).hexdigest() == digest


def test_every_vendored_file_is_listed():
    found = {str(p.relative_to(VENDOR)) for p in VENDOR.rglob("*") if p.is_file()} - {"SHA256SUMS"}
    assert found == {name for _, name in LISTED}


@pytest.mark.parametrize("folder", [*VENDOR.glob("*/"), *(STATIC / "fonts").glob("*/")], ids=lambda p: p.name)
def test_a_licence_lies_beside_the_files(folder):
    text = (folder / "LICENSE").read_text()
    assert re.search(r"MIT License|SIL Open Font License|Permission is hereby granted", text, re.IGNORECASE)


def test_script_and_sheet_have_the_version_that_python_writes_for():
    offline = pytest.importorskip("plotly.offline")
    wanted = offline.get_plotlyjs_version()
    script = (VENDOR / "plotly" / "plotly-basic.min.js").read_text()[:400]
    assert f"v{wanted}" in script
    assert f"plotly.js {wanted} " in (VENDOR / "plotly" / "plotly.css").read_text()[:400]


def test_our_own_sheets_and_scripts_name_no_outside_host():
    for path in (*STATIC.glob("*.css"), *STATIC.glob("*.js"), VENDOR / "plotly" / "plotly.css"):
        assert not re.search(r"//[a-z0-9-]+\.[a-z]", path.read_text()), path.name
        assert "@import" not in path.read_text()


def test_every_file_that_a_sheet_asks_for_is_there():
    for sheet in (*STATIC.glob("*.css"), VENDOR / "plotly" / "plotly.css"):
        for target in re.findall(r"""url\(["']?([^"')]+)""", sheet.read_text()):
            assert (sheet.parent / target).is_file(), f"{sheet.name}: {target}"
