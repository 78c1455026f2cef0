"""The one command of Tenpads: builds its own environment on the first start, then hands over.

``python3 manage.py demo``     the demo on this machine
``python3 manage.py tests``    every test (what follows goes to pytest)
``python3 manage.py checks``   style, types, layers, migrations
``python3 manage.py VERB``     any other verb of Tenpads or Django
``--data DIR``                 with any verb: the folder that holds the data

Until ``.venv`` stands only the standard library is used, and this file parses on Python 3.6 too, so that it
gets one clear line. All of it stays in this one file because it must run before anything is installed.
``COACHING_NO_BOOTSTRAP=1`` uses the running interpreter as it is.
"""

import contextlib
import hashlib
import importlib.util
import os
import re
import shutil
import subprocess  # noqa: S404
import sys
import sysconfig
import tempfile
import time

ROOT = os.path.dirname(os.path.abspath(__file__))
VENV = os.path.join(ROOT, ".venv")
STAMP = os.path.join(VENV, "lock.sha256")
GUARD = os.path.join(ROOT, ".venv.lock")
WINDOWS = os.name == "nt"
PYTHON = os.path.join(VENV, "Scripts", "python.exe") if WINDOWS else os.path.join(VENV, "bin", "python")
OLDEST = (3, 11)
PIP_WITH_TARGET = (22, 3)
# Each lock holds all of the one before it, so a larger environment serves every smaller wish.
LOCKS = ("requirements.lock", "requirements-test.lock", "requirements-check.lock")
LOCK_OF_VERB = {"tests": LOCKS[1], "checks": LOCKS[2]}
# Settings of a person's own that would send the packages elsewhere than into the environment.
STRAY_PIP_SETTINGS = ("PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_DRY_RUN")


class SetupError(Exception):
    """The environment cannot be made; the text is for the person at the terminal."""


def version_complaint(version):
    """One line for a Python that is too old, or an empty string."""
    if tuple(version[:2]) >= OLDEST:
        return ""
    found = ".".join(str(part) for part in version[:3])
    return f"Tenpads needs Python {OLDEST[0]}.{OLDEST[1]} or newer; this is Python {found}."


def lock_for(argv):
    """File name of the lock that this command line needs."""
    return LOCK_OF_VERB.get(argv[1] if len(argv) > 1 else "", LOCKS[0])


def take_data(argv, environ):
    """The command line without ``--data DIR``, which goes into the environment for the settings to read."""
    out, rest = [], list(argv)
    while rest:
        word = rest.pop(0)
        if word == "--data" and not rest:
            raise SetupError("--data needs a folder after it")
        if word == "--data" or word.startswith("--data="):
            environ["TENPADS_DATA"] = os.path.abspath(word[7:] if "=" in word else rest.pop(0))
        else:
            out.append(word)
    if out[1:2] == ["demo"]:
        # A demo never lands among a real squad's data.
        environ.setdefault("TENPADS_DATA", os.path.join(ROOT, ".tenpads", "demo"))
    return out


def django_argv(argv):
    """Command line for Django: dashes in the verb become underscores, as a module's name needs."""
    out = list(argv)
    place = 2 if out[1:2] == ["help"] else 1
    if len(out) > place and not out[place].startswith("-"):
        out[place] = out[place].replace("-", "_")
    return out


def digest(lock, python=sys.version):
    """Hex SHA-256 over the lock, the locks it builds on, and the interpreter's version."""
    seen = hashlib.sha256()
    for name in LOCKS[: LOCKS.index(lock) + 1]:
        with open(os.path.join(ROOT, name), "rb") as file:
            seen.update(file.read())
    seen.update(python.encode())
    return seen.hexdigest()


def stamp_text(lock, python=sys.version):
    """What the stamp says of an environment made from this lock."""
    return f"{lock} {digest(lock, python)}\n"


def installed_lock(python=sys.version):
    """Lock the environment was made from; an empty string where it is missing, half made or out of date."""
    try:
        with open(STAMP, encoding="utf-8") as file:
            text = file.read()
    except OSError:
        return ""
    return next((lock for lock in LOCKS if text == stamp_text(lock, python)), "")


def serves(installed, wanted):
    """True where the installed lock holds all of the wanted one."""
    return bool(installed) and LOCKS.index(installed) >= LOCKS.index(wanted)


def pip_version(text):
    """(major, minor) out of ``pip --version``, (0, 0) where it says something else."""
    found = re.match(r"pip (\d+)\.(\d+)", text)
    return (int(found.group(1)), int(found.group(2))) if found else (0, 0)


def outer_pip_version():
    """Version of the pip beside the running interpreter, (0, 0) for none."""
    command = [sys.executable, "-m", "pip", "--version"]
    return pip_version(subprocess.run(command, capture_output=True, text=True, check=False).stdout)


def way_to_install(has_venv, has_ensurepip, pip):
    """How packages get in: ``inner`` pip, or ``outer`` pip where the system splits ensurepip off."""
    if has_venv and has_ensurepip:
        return "inner"
    if has_venv and pip >= PIP_WITH_TARGET:
        return "outer"
    raise SetupError(
        "This Python cannot make a virtual environment: the venv module or ensurepip is missing. "
        "On Debian and Ubuntu install the package python3-venv, then start again."
    )


def chosen_way():
    """``inner`` or ``outer`` for the running interpreter."""
    has_venv, has_ensurepip = (importlib.util.find_spec(name) is not None for name in ("venv", "ensurepip"))
    return way_to_install(has_venv, has_ensurepip, (0, 0) if has_ensurepip else outer_pip_version())


def pip_command(way, lock_path):
    """Command line that installs a lock by hash, wheels only, into the environment."""
    if way == "inner":
        start = [PYTHON, "-m", "pip"]
    else:
        start = [sys.executable, "-m", "pip", "--python", PYTHON]
    options = ["-q", "--no-input", "--disable-pip-version-check"]
    # Without a home directory pip would keep its cache in a directory called "~" or at the root.
    home_known = os.environ.get("HOME", "x") and os.path.isdir(os.path.expanduser("~"))
    if not home_known:
        options.append("--no-cache-dir")
    return start + ["install", *options, "--only-binary", ":all:", "--require-hashes", "-r", lock_path]


def pip_complaint(output):
    """Text for the person at the terminal out of what pip printed."""
    lines = [line for line in output.splitlines() if line.strip() and not line.startswith("WARNING:")]
    if any("DO NOT MATCH THE HASHES" in line for line in lines):
        first = "A package is not the one that the lock names, so nothing of it was used. pip said:"
    else:
        first = "pip could not install the packages. It said:"
    return "\n".join([first, *("    " + line for line in lines[-20:])])


def say(text):
    print("tenpads: " + text, file=sys.stderr, flush=True)


def run_pip(command):
    """Run pip with a sign of life every ten seconds; raise SetupError with its words where it fails."""
    env = {key: value for key, value in os.environ.items() if key not in STRAY_PIP_SETTINGS}
    start_s = time.monotonic()
    with tempfile.TemporaryFile("w+", encoding="utf-8", errors="replace") as output:
        running = subprocess.Popen(command, stdout=output, stderr=subprocess.STDOUT, env=env)
        while running.poll() is None:
            with contextlib.suppress(subprocess.TimeoutExpired):
                running.wait(timeout=10)
                break
            say(f"      still installing, {time.monotonic() - start_s:.0f} s")
        output.seek(0)
        if running.returncode:
            raise SetupError(pip_complaint(output.read()))


def make_venv(with_pip):
    """An empty environment in place of whatever stood there."""
    import venv

    shutil.rmtree(VENV, ignore_errors=True)
    try:
        venv.EnvBuilder(with_pip=with_pip, symlinks=not WINDOWS).create(VENV)
    except subprocess.CalledProcessError as trouble:
        raise SetupError(f"Python could not make {VENV}: {trouble}") from trouble


def build(lock, run=run_pip):
    """Make or enlarge the environment; the stamp goes first and comes back last."""
    started_s = time.monotonic()
    way, keep = chosen_way(), bool(installed_lock())
    with contextlib.suppress(FileNotFoundError):
        os.remove(STAMP)
    say("1/3   enlarging .venv" if keep else "1/3   making .venv")
    if not keep:
        make_venv(with_pip=way == "inner")
    say(f"2/3   installing {lock}, each file checked by its hash; about a minute, once")
    run(pip_command(way, os.path.join(ROOT, lock)))
    with open(STAMP, "w", encoding="utf-8") as file:
        file.write(stamp_text(lock))
    say(f"3/3   set up in {time.monotonic() - started_s:.0f} s")


@contextlib.contextmanager
def one_at_a_time():
    """Hold the guard file, so that two first starts do not build into one directory."""
    try:
        import fcntl
    except ImportError:
        yield
        return
    with open(GUARD, "w", encoding="utf-8") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            say("another start is setting up; waiting for it")
            fcntl.flock(file, fcntl.LOCK_EX)
        yield


def ensure(lock):
    """Build the environment unless it already serves the lock; no network and no writing where it does."""
    if serves(installed_lock(), lock):
        return
    with one_at_a_time():
        if not serves(installed_lock(), lock):
            build(lock)


def restart(python):
    """Replace this process by the same command line under another interpreter."""
    command = [python, *sys.orig_argv[1:]]
    os.environ.pop("PYTHONHOME", None)  # it would point the new interpreter back at the old one's packages
    if WINDOWS:
        sys.exit(subprocess.run(command, check=False).returncode)
    os.execv(python, command)  # noqa: S606


def bootstrap(argv):
    """Come back only inside an environment that serves the command line."""
    lock = lock_for(argv)
    inside = os.path.realpath(sys.prefix) == os.path.realpath(VENV)
    if inside and serves(installed_lock(), lock):
        return
    try:
        if inside:
            restart(sys._base_executable)
        ensure(lock)
        restart(PYTHON)
    except KeyboardInterrupt:
        raise SetupError("stopped; the next start sets up anew") from None
    except OSError as trouble:
        raise SetupError(f"could not set up: {trouble}") from trouble


def side_by_side(args):
    """Pytest's arguments with a process for each core, unless the person chose or wants to see what tests print."""
    chosen = any(word.startswith(("-n", "--numprocesses", "-s", "--capture", "--pdb", "--co")) for word in args)
    return list(args) if chosen else ["-n", "auto", "--dist", "loadgroup", *args]


def run_tests(args):
    """Exit code of pytest."""
    import pytest

    os.chdir(ROOT)
    return int(pytest.main(side_by_side(args)))


def run_checks():
    """Run every check, also after one has failed; 1 where any failed."""
    commands = {
        "style": [sys.executable, "-m", "ruff", "check", "."],
        "types": [sys.executable, "-m", "mypy"],
        "layers": [os.path.join(sysconfig.get_path("scripts"), "lint-imports"), "--no-cache"],
        "migrations": [sys.executable, "manage.py", "makemigrations", "--check", "--dry-run"],
    }
    failed = []
    for name, command in commands.items():
        started_s = time.monotonic()
        if subprocess.run(command, cwd=ROOT, check=False).returncode:
            failed.append(name)
        say(f"{name}: {time.monotonic() - started_s:.1f} s")
    say("failed: " + ", ".join(failed) if failed else "all checks passed")
    return int(bool(failed))


def run_django(argv):
    """Hand over to Django's own command line."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coaching.config.settings")
    try:
        from django.core.management import execute_from_command_line
    except ImportError as missing:
        raise SetupError(f"This environment lacks {missing.name}; install {LOCKS[0]} into it.") from missing
    from athletes.records import row_scope

    with row_scope.everybody():
        execute_from_command_line(django_argv(argv))
    return 0


def main(argv):
    """Exit code for a command line; set-up trouble comes out as text."""
    complaint = version_complaint(sys.version_info)
    if complaint:
        sys.exit(complaint)
    # One thread a process: the arrays are small, and processes share the cores.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if not os.environ.get("HOME", "unset"):
        del os.environ["HOME"]
    try:
        if os.environ.get("COACHING_NO_BOOTSTRAP") != "1":
            bootstrap(argv)
        verb = argv[1] if len(argv) > 1 else ""
        if verb == "tests":
            return run_tests(argv[2:])
        return run_checks() if verb == "checks" else run_django(take_data(argv, os.environ))
    except SetupError as trouble:
        sys.exit(f"tenpads: {trouble}")


if __name__ == "__main__":
    sys.exit(main(sys.argv))
