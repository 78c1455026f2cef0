"""The locks pin and hash all, and hold what the project asks for; no tracked file names a package host."""

import re
import shutil
import subprocess
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LOCKS = ("requirements.lock", "requirements-test.lock", "requirements-check.lock")
PIN = re.compile(r"^([a-z0-9][a-z0-9-]*)==([A-Za-z0-9.!+]+)(?: ; [^\\]+)? \\$")
HASH = re.compile(r"^    --hash=sha256:[0-9a-f]{64}(?: \\)?$")
# Assembled from halves, so that this file does not name what it forbids.
HOSTS = tuple(left + right for left, right in (
    ("pypi", ".org"), ("pypi", ".python.org"), ("python", "hosted.org"), ("npm", "js.org"), ("npm", "js.com"),
    ("deb", ".debian.org"), ("js", "delivr"), ("un", "pkg.com"), ("cdn", "js."), ("conda", ".anaconda"),
    ("yarn", "pkg.com"), ("index", "-url"), ("find", "-links"),
))  # fmt: skip


def lines_of(lock: str) -> list[str]:
    return [line for line in (ROOT / lock).read_text().splitlines() if not line.lstrip().startswith("#")]


def hashes_by_pin(lock: str) -> dict[str, set[str]]:
    """Hashes of each ``name==version``; fails on a line that is neither a pin nor a hash."""
    found: dict[str, set[str]] = {}
    current = ""
    for line in lines_of(lock):
        if pin := PIN.match(line):
            current = f"{pin[1]}=={pin[2]}"
            found[current] = set()
        else:
            assert HASH.match(line), f"{lock}: {line!r} is neither pinned nor hashed"
            found[current].add(line.strip(" \\"))
    return found


def canonical(requirement: str) -> str:
    """Name of a requirement as locks write it (PEP 503: runs of - _ . become one dash, lower case)."""
    name = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert name, requirement
    return re.sub(r"[-_.]+", "-", name[0]).lower()


def names(lock: str) -> set[str]:
    return {pin.split("==")[0] for pin in hashes_by_pin(lock)}


def tracked_files() -> list[Path]:
    if not (ROOT / ".git").exists() or not shutil.which("git"):
        pytest.skip("not a git checkout, or no git: tracked files are unknown")
    asked = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert asked.returncode == 0, asked.stderr
    return [ROOT / name for name in asked.stdout.split("\0") if name and (ROOT / name).is_file()]


@pytest.mark.parametrize("lock", (*LOCKS, "requirements-reference.lock"))
def test_every_line_is_pinned_and_hashed(lock: str) -> None:
    pins = hashes_by_pin(lock)
    assert len(pins) >= 40
    assert [pin for pin, hashes in pins.items() if not hashes] == []


@pytest.mark.parametrize("lock", (*LOCKS, "requirements-reference.lock"))
def test_compiled_packages_carry_the_hash_of_every_platform(lock: str) -> None:
    # numpy publishes dozens of wheels a release; a lock made from one machine's own files would hold one.
    numpy = [len(hashes) for pin, hashes in hashes_by_pin(lock).items() if pin.startswith("numpy==")]
    assert numpy and min(numpy) > 20


@pytest.mark.parametrize("lock", (*LOCKS, "requirements-reference.lock"))
def test_a_lock_holds_no_address_and_no_path(lock: str) -> None:
    text = (ROOT / lock).read_text()
    assert re.findall(r"\w+://\S+|file:\S+|(?:^|\s)/\w+\S*|(?:^|\s)\.\.?/\S*", text) == []


@pytest.mark.parametrize(("small", "large"), [LOCKS[:2], LOCKS[1:]])
def test_a_larger_lock_holds_all_of_the_smaller(small: str, large: str) -> None:
    inner, outer = hashes_by_pin(small), hashes_by_pin(large)
    assert {pin: outer.get(pin) for pin in inner} == inner


def test_what_the_project_asks_for_is_locked() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())
    groups = project["dependency-groups"]
    wanted = (project["project"]["dependencies"], groups["test"], groups["check"])
    for items, lock in zip(wanted, LOCKS, strict=True):
        assert {canonical(item) for item in items} - names(lock) == set(), lock


def test_no_file_names_a_package_host() -> None:
    bad = [
        (path.relative_to(ROOT).as_posix(), host)
        for path in tracked_files()
        for host in HOSTS
        if host.encode() in path.read_bytes().lower()
    ]
    assert bad == []
