"""The pure parts of manage.py, and what it does around a pip that is played by a function."""

import ast
import sys
from pathlib import Path

import pytest

import manage

RUN, TEST, CHECK = manage.LOCKS


@pytest.fixture
def checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Three tiny locks in a directory that manage.py takes for its own; a venv there is a bare directory."""
    for name in manage.LOCKS:
        (tmp_path / name).write_text(f"{name}==1 --hash=sha256:{'0' * 64}\n")
    venv = tmp_path / ".venv"
    monkeypatch.setattr(manage, "ROOT", str(tmp_path))
    monkeypatch.setattr(manage, "VENV", str(venv))
    monkeypatch.setattr(manage, "STAMP", str(venv / "lock.sha256"))
    monkeypatch.setattr(manage, "GUARD", str(tmp_path / ".venv.lock"))
    monkeypatch.setattr(manage, "chosen_way", lambda: "inner")
    monkeypatch.setattr(manage, "make_venv", lambda with_pip: venv.mkdir(exist_ok=True))
    return tmp_path


def test_an_old_python_gets_one_line_with_both_versions() -> None:
    said = manage.version_complaint((3, 10, 13))
    assert said == "Tenpads needs Python 3.11 or newer; this is Python 3.10.13."


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 12, 1), (4, 0, 0)])
def test_a_python_new_enough_gets_no_complaint(version: tuple[int, int, int]) -> None:
    assert manage.version_complaint(version) == ""


def test_an_old_python_can_read_the_file_up_to_the_complaint() -> None:
    """Whatever is newer than 3.6 in its shape would end in a syntax error before a word is said."""
    tree = ast.parse(Path(manage.__file__).read_text(), feature_version=(3, 6))
    says = [n for n, node in enumerate(tree.body) if "version_complaint(" in ast.unparse(node)]
    assert says and not any(isinstance(node, ast.ImportFrom) and node.level for node in tree.body)
    with pytest.raises(SyntaxError):
        ast.parse("if (said := 1):\n    pass\n", feature_version=(3, 6))  # what the reading above would find


def test_only_the_standard_library_is_imported_on_top() -> None:
    top = [node for node in ast.parse(Path(manage.__file__).read_text()).body if isinstance(node, ast.Import)]
    assert {alias.name.split(".")[0] for node in top for alias in node.names} <= sys.stdlib_module_names


@pytest.mark.parametrize(
    ("typed", "lock"),
    [([], RUN), (["demo"], RUN), (["demo", "tests"], RUN), (["tests", "-x"], TEST), (["checks"], CHECK)],
)
def test_the_verb_chooses_the_lock(typed: list[str], lock: str) -> None:
    assert manage.lock_for(["manage.py", *typed]) == lock


@pytest.mark.parametrize(
    ("typed", "handed_on"),
    [
        (["import-bundle", "my-file.zip"], ["import_bundle", "my-file.zip"]),
        (["help", "export-bundle"], ["help", "export_bundle"]),
        (["demo", "--data", "a-b"], ["demo", "--data", "a-b"]),
        (["--no-color"], ["--no-color"]),
        ([], []),
    ],
)
def test_dashes_in_the_verb_become_underscores(typed: list[str], handed_on: list[str]) -> None:
    assert manage.django_argv(["manage.py", *typed]) == ["manage.py", *handed_on]


@pytest.mark.parametrize(
    ("installed", "wanted", "enough"),
    [("", RUN, False), (RUN, RUN, True), (TEST, RUN, True), (RUN, TEST, False), (CHECK, TEST, True)],
)
def test_a_larger_environment_serves_a_smaller_wish(installed: str, wanted: str, enough: bool) -> None:
    assert manage.serves(installed, wanted) is enough


def test_the_stamp_changes_with_the_lock_the_locks_below_it_and_the_interpreter(checkout: Path) -> None:
    before = manage.digest(TEST)
    assert manage.digest(TEST, python="3.14") != before
    (checkout / CHECK).write_text("other")
    assert manage.digest(TEST) == before
    (checkout / RUN).write_text("other")
    assert manage.digest(TEST) != before


def test_no_ensurepip_and_no_pip_gets_one_line_with_the_package_to_install() -> None:
    with pytest.raises(manage.SetupError, match="install the package python3-venv") as refused:
        manage.way_to_install(has_venv=True, has_ensurepip=False, pip=(0, 0))
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    ("has_ensurepip", "pip", "way"),
    [(True, (0, 0), "inner"), (False, (22, 3), "outer"), (False, (26, 1), "outer")],
)
def test_a_missing_ensurepip_is_made_up_for_by_a_pip_that_can_target(
    has_ensurepip: bool, pip: tuple[int, int], way: str
) -> None:
    assert manage.way_to_install(True, has_ensurepip, pip) == way


def test_a_pip_too_old_to_target_another_environment_does_not_help() -> None:
    assert manage.pip_version("pip 22.2.9 from /usr/lib (python 3.11)") == (22, 2)
    with pytest.raises(manage.SetupError, match="python3-venv"):
        manage.way_to_install(True, False, (22, 2))
    assert manage.way_to_install(True, False, manage.pip_version("pip 22.3 from /usr/lib (python 3.11)")) == "outer"


@pytest.mark.parametrize("way", ["inner", "outer"])
def test_pip_is_told_to_check_hashes_and_to_build_nothing(way: str) -> None:
    command = manage.pip_command(way, "some.lock")
    assert "--require-hashes" in command and command[command.index("--only-binary") + 1] == ":all:"
    assert ("--python" in command) is (way == "outer")


def test_without_a_home_pip_keeps_no_cache(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("HOME", str(tmp_path / "nowhere"))
    assert "--no-cache-dir" in manage.pip_command("inner", "some.lock")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert "--no-cache-dir" not in manage.pip_command("inner", "some.lock")


def test_a_false_hash_is_told_in_words() -> None:
    said = manage.pip_complaint("WARNING: noise\nERROR: THESE PACKAGES DO NOT MATCH THE HASHES.\n")
    assert said.startswith("A package is not the one that the lock names")
    assert "noise" not in said


def test_a_failing_pip_is_shown_as_text_with_what_it_said() -> None:
    with pytest.raises(manage.SetupError) as refused:
        manage.run_pip([sys.executable, "-c", "print('no such wheel'); raise SystemExit(1)"])
    said = str(refused.value)
    assert "could not install the packages" in said and "no such wheel" in said and "Traceback" not in said
    assert manage.run_pip([sys.executable, "-c", "print('all there')"]) is None


def test_the_stamp_is_written_after_the_packages_are_in(checkout: Path) -> None:
    seen: list[str] = []
    manage.build(RUN, run=lambda command: seen.append(manage.installed_lock()))
    assert seen == [""]
    assert manage.installed_lock() == RUN


def test_a_refused_lock_leaves_no_stamp_behind(checkout: Path) -> None:
    def refuse(command: list[str]) -> None:
        raise manage.SetupError("hash")

    manage.build(RUN, run=lambda command: None)
    with pytest.raises(manage.SetupError):
        manage.build(TEST, run=refuse)
    assert manage.installed_lock() == ""


def test_an_environment_of_a_changed_lock_is_out_of_date(checkout: Path) -> None:
    manage.build(TEST, run=lambda command: None)
    assert manage.installed_lock() == TEST
    (checkout / RUN).write_text("django==0 --hash=sha256:" + "1" * 64)
    assert manage.installed_lock() == ""


def test_a_standing_environment_is_enlarged_and_a_stale_one_made_anew(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[bool] = []
    stub = manage.make_venv
    monkeypatch.setattr(manage, "make_venv", lambda with_pip: (made.append(with_pip), stub(with_pip)))
    for lock in (RUN, TEST):
        manage.build(lock, run=lambda command: None)
    assert made == [True]
    (checkout / RUN).write_text("changed")
    manage.build(RUN, run=lambda command: None)
    assert made == [True, True]


def test_an_environment_that_serves_is_left_alone(checkout: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    manage.build(TEST, run=lambda command: None)
    monkeypatch.setattr(manage, "build", lambda lock: pytest.fail("built again"))
    manage.ensure(RUN)
    assert not (checkout / ".venv.lock").exists()


def test_of_two_first_starts_the_second_waits_and_builds_nothing(
    checkout: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fcntl = pytest.importorskip("fcntl")
    said: list[str] = []
    with open(checkout / ".venv.lock", "w") as other_start:
        fcntl.flock(other_start, fcntl.LOCK_EX)

        def say(text: str) -> None:
            """The other start ends just when this one says that it waits."""
            said.append(text)
            manage.make_venv(with_pip=True)
            Path(manage.STAMP).write_text(manage.stamp_text(TEST))
            fcntl.flock(other_start, fcntl.LOCK_UN)

        monkeypatch.setattr(manage, "say", say)
        monkeypatch.setattr(manage, "build", lambda lock: pytest.fail("built although the other start had"))
        manage.ensure(RUN)
    assert said == ["another start is setting up; waiting for it"]


@pytest.mark.parametrize("words", [["--data", "/x/y"], ["--data=/x/y"]])
def test_the_data_folder_goes_into_the_environment(words: list[str]) -> None:
    environ: dict[str, str] = {}
    assert manage.take_data(["manage.py", "demo", *words, "--once"], environ) == ["manage.py", "demo", "--once"]
    assert environ == {"TENPADS_DATA": "/x/y"}


def test_a_demo_without_a_folder_keeps_away_from_real_data() -> None:
    demo: dict[str, str] = {}
    other: dict[str, str] = {}
    manage.take_data(["manage.py", "demo"], demo)
    manage.take_data(["manage.py", "serve"], other)
    assert demo["TENPADS_DATA"].endswith("demo") and not other


def test_a_data_option_without_a_folder_is_refused() -> None:
    environ: dict[str, str] = {}
    with pytest.raises(manage.SetupError, match="--data needs a folder"):
        manage.take_data(["manage.py", "demo", "--data"], environ)
    assert environ == {}, "and nothing is set on the way"


def test_tests_run_side_by_side_unless_somebody_chose_otherwise() -> None:
    assert manage.side_by_side(["tests/unit"])[:2] == ["-n", "auto"]
    for words in (["-n", "0"], ["-n4"], ["--pdb"], ["-s"]):
        assert manage.side_by_side(words) == words
