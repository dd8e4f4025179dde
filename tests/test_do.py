"""The one hand that sets the project up: finding Python, free ports, one sentence for what is missing."""

import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

import do

OLD, NEW, FITTING = (3, 10), (3, 14), (3, 12)


@pytest.fixture
def listening() -> Iterator[int]:
    """A port that somebody listens on."""
    with closing(socket.socket()) as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        yield taken.getsockname()[1]


@pytest.fixture(autouse=True)
def nothing_chosen(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in do.CHOICES:
        monkeypatch.setenv(name, "")  # noted as changed, so that what a test sets is gone after it
        monkeypatch.delenv(name)


# ---------------------------------------------------------------- Python


@pytest.mark.parametrize(
    ("version", "fits"),
    [
        ((3, 10), False),
        ((3, 11), True),
        ((3, 12), True),
        ((3, 13), True),
        ((3, 14), False),
        ((2, 7), False),
        (None, False),
    ],
)
def test_python_3_11_to_3_13_fit(version: tuple[int, int] | None, fits: bool) -> None:
    assert do.fits(version) is fits


def test_the_python_that_runs_is_taken_where_it_fits() -> None:
    assert do.find_python(own="mine", wanted="", which=pytest.fail, version=lambda _: FITTING) == "mine"


def test_an_old_python_finds_the_newest_that_fits() -> None:
    there = {"python3.13": "/a/python3.13", "python3.11": "/a/python3.11", "python3": "/a/python3"}
    versions = {"mine": OLD, "/a/python3.13": None, "/a/python3.11": (3, 11), "/a/python3": OLD}
    assert do.find_python(own="mine", wanted="", which=there.get, version=versions.get) == "/a/python3.11"


def test_a_python_that_is_too_new_finds_an_older_one() -> None:
    there = {"python3.12": "/a/python3.12"}
    versions = {"mine": NEW, "/a/python3.12": FITTING}
    assert do.find_python(own="mine", wanted="", which=there.get, version=versions.get) == "/a/python3.12"


def test_without_a_fitting_python_one_sentence_says_which_are_and_what_there_is() -> None:
    with pytest.raises(
        do.Stop, match=r"needs Python 3\.11, 3\.12 or 3\.13 and found only Python 3\.10: install"
    ):
        do.find_python(own="mine", wanted="", which={}.get, version=lambda _: OLD)


def test_a_python_asked_for_is_taken_or_refused_never_replaced() -> None:
    assert do.find_python(own="mine", wanted="p", which=lambda _: "/a/p", version=lambda _: FITTING) == "/a/p"
    with pytest.raises(do.Stop, match="PYTHON=p is no Python"):
        do.find_python(own="mine", wanted="p", which=lambda _: "/a/p", version=lambda _: OLD)
    with pytest.raises(do.Stop, match="PYTHON=p is no Python"):
        do.find_python(own="mine", wanted="p", which=lambda _: None, version=lambda _: FITTING)


def test_what_does_not_start_has_no_version(tmp_path: Path) -> None:
    broken = tmp_path / "python3.12"
    broken.write_text("#!/bin/sh\nexit 127\n", encoding="utf-8")
    broken.chmod(0o755)
    assert do.version_of(broken) is None
    assert do.version_of(tmp_path / "nowhere") is None
    assert do.version_of(sys.executable) == sys.version_info[:2]


# ---------------------------------------------------------------- ports and addresses


def test_a_free_port_is_taken_as_asked(listening: int) -> None:
    free = do.free_port(host="127.0.0.1", port=listening + 1)
    assert do.free_port(host="127.0.0.1", port=free) == free


def test_a_busy_port_becomes_the_next_free_one(listening: int) -> None:
    assert listening < do.free_port(host="127.0.0.1", port=listening) < listening + 50


def test_an_address_of_another_machine_is_refused() -> None:
    with pytest.raises(
        do.Stop, match=r"HOST=192\.0\.2\.1 is no address of this machine"
    ):  # RFC 5737, for documents
        do.free_port(host="192.0.2.1", port=8000)


@pytest.mark.parametrize("port", ["0", "65536", "eighty", "-1", "80.5"])
def test_a_port_that_is_none_is_refused(monkeypatch: pytest.MonkeyPatch, port: str) -> None:
    monkeypatch.setenv("PORT", port)
    with pytest.raises(do.Stop, match=f"PORT={port} is no port: give a number from 1 to 65535"):
        do.asked_address()


def test_an_empty_choice_counts_as_not_made(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PORT", "")
    monkeypatch.setenv("HOST", "")
    assert do.asked_address() == ("127.0.0.1", 8000)


@pytest.mark.parametrize(
    ("said", "on"), [("no", False), ("No", False), ("0", False), ("off", False), ("yes", True), ("", True)]
)
def test_serve_no_means_no(monkeypatch: pytest.MonkeyPatch, said: str, on: bool) -> None:
    monkeypatch.setenv("SERVE", said)
    assert do.yes("SERVE", default="yes") is on


# ---------------------------------------------------------------- the demonstration is never a real room


def test_the_demonstration_has_its_own_database_key_and_no_broker(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DATABASE_URL", "postgres://the-real-room")
    monkeypatch.setenv("REDIS_URL", "redis://the-real-broker")
    monkeypatch.setenv("ROOMOPS_VAR", "/srv/real")
    env = do.demo_env()
    assert env["DATABASE_URL"].endswith("/var/demo.sqlite3")
    assert env["ROOMOPS_VAR"] == str(do.VAR / "demo")
    assert env["ROOMOPS_DEMO"] == "yes"
    assert "REDIS_URL" not in env
    assert "ROOMOPS_TODAY" not in env


def test_today_reaches_the_doors_of_the_demonstration(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TODAY", "2026-07-01")
    assert do.demo_env()["ROOMOPS_TODAY"] == "2026-07-01"
    assert do.demo_date(sys.executable) == "2026-07-01"


@pytest.mark.parametrize("day", ["2026-02-30", "tomorrow", "01.07.2026", "2026-13-01"])
def test_a_day_that_is_none_is_refused(monkeypatch: pytest.MonkeyPatch, day: str) -> None:
    monkeypatch.setenv("TODAY", day)
    with pytest.raises(do.Stop, match=f"TODAY={day} is no date: write it as 2026-07-01"):
        do.demo_date(sys.executable)


def test_a_real_room_is_never_served_as_a_demonstration(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ROOMOPS_DEMO", "yes")
    monkeypatch.setenv("ROOMOPS_TODAY", "2026-07-01")
    seen: dict[str, dict[str, str]] = {}
    monkeypatch.setattr(do, "environment", lambda *, lock: Path(sys.executable))
    monkeypatch.setattr(do, "pdf_ready", lambda python: True)
    monkeypatch.setattr(do, "manage", lambda python, name, *rest, env: seen.setdefault(name, env) and "")
    monkeypatch.setattr(do, "serve", lambda python, step, *, env: seen.setdefault("serve", env))
    do.serve_real([])
    assert set(seen) == {"migrate", "collectstatic", "serve"}
    assert all("ROOMOPS_DEMO" not in env and "ROOMOPS_TODAY" not in env for env in seen.values())


def test_two_demonstrations_do_not_both_make_the_database(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(do, "VAR", tmp_path)
    with do.demo_lock() as first:
        assert first
        with do.demo_lock() as second:
            assert not second
    with do.demo_lock() as again:
        assert again


# ---------------------------------------------------------------- sentences


def test_a_missing_command_is_named_with_its_file() -> None:
    with pytest.raises(
        do.Stop, match=r"no command fly: the file roomops/tasks/management/commands/fly\.py is missing"
    ):
        do.command_exists("fly")


def test_a_failed_command_gives_its_last_line_and_says_where_the_rest_is(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(do, "VAR", tmp_path)
    with pytest.raises(
        do.Stop, match=r"papers did not succeed: the ink is out \(all that it printed: .*papers\.txt\)"
    ):
        do.run(
            [sys.executable, "-c", "import sys; print('first'); sys.exit('the ink is out')"], name="papers"
        )
    assert (tmp_path / "log" / "papers.txt").read_text(encoding="utf-8").startswith("first")


def test_words_that_mean_nothing_are_refused(capfd: pytest.CaptureFixture[str]) -> None:
    assert do.main(["check", "everything"]) == 1
    assert "'everything' means nothing here" in capfd.readouterr().err
    assert do.main(["dance"]) == 2
    assert do.main(["help"]) == 0


def test_choices_may_stand_on_the_line(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(
        do.COMMAND, "demo", lambda rest: sys.stdout.write(f"{os.environ['TODAY']} {rest}\n") and 0
    )
    assert do.main(["TODAY=2026-07-01", "demo", "SERVE=no"]) == 0
    assert capfd.readouterr().out == "2026-07-01 []\n"


def test_pdf_libraries_that_cannot_be_installed_are_named(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    never = tmp_path / "python"
    never.write_text("#!/bin/sh\nexit 1\n", encoding="utf-8")
    never.chmod(0o755)
    monkeypatch.setattr(do, "apt_install", lambda *packages: False)
    assert do.pdf_ready(never) is False
    told = capfd.readouterr().out
    assert "printable HTML" in told
    assert "libpango-1.0-0 and libpangoft2-1.0-0" in told


def test_a_python_without_the_parts_for_environments_is_told_which_package(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    bare = tmp_path / "python"
    bare.write_text('#!/bin/sh\ncase "$2" in *ensurepip*) exit 1;; *) echo 3 11;; esac\n', encoding="utf-8")
    bare.chmod(0o755)
    monkeypatch.setattr(do, "apt_install", lambda *packages: False)
    with pytest.raises(do.Stop, match=r"install the package python3\.11-venv and run this again"):
        do.make_venv(folder=tmp_path / "venv", python=str(bare))


# ---------------------------------------------------------------- make only calls it


@pytest.mark.skipif(
    shutil.which("make") is None, reason="there is no make here; the README gives the line without"
)
def test_variables_of_make_reach_the_command() -> None:
    told = subprocess.run(
        ["make", "demo", "PORT=eighty"], cwd=do.TOP, capture_output=True, text=True, check=False
    )
    assert told.returncode != 0
    assert "PORT=eighty is no port" in told.stderr


def test_every_command_of_make_is_one_line_that_calls_this_file() -> None:
    lines = (do.TOP / "Makefile").read_text(encoding="utf-8").splitlines()
    aliases = dict(line.split(": ; @", 1) for line in lines if ": ; " in line)
    assert {"demo", "test"} <= set(aliases) <= set(do.COMMAND)
    assert all(line.startswith(f"python3 do.py {name}") for name, line in aliases.items())
    assert [line for line in lines if not line.startswith(("#", ".PHONY")) and ": ; @" not in line] == []


def test_the_two_commands_of_the_readme_run_before_a_change_lands() -> None:
    readme, checks = (do.TOP / name for name in ("README.md", ".ci/run"))
    for command in ("make demo", "make test", "python3 do.py demo", "python3 do.py test"):
        assert command in readme.read_text(encoding="utf-8")
    assert "make test" in checks.read_text(encoding="utf-8")
    assert "python3 do.py demo" in checks.read_text(encoding="utf-8")


# ---------------------------------------------------------------- the environment


@pytest.fixture
def fake_locks(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[list[object]]:
    """A project with lock files and an environment of its own, and the commands that would have run."""
    (tmp_path / "locks").mkdir()
    for name in do.LOCKS:
        (tmp_path / "locks" / f"{name}.txt").write_text(f"{name}==1\n", encoding="utf-8")
    ran: list[list[object]] = []
    monkeypatch.setattr(do, "TOP", tmp_path)
    (tmp_path / ".venv" / "bin").mkdir(parents=True)
    (tmp_path / ".venv" / "bin" / "python").symlink_to(sys.executable)

    def only_noted(line: list[object], *, name: str, env: object = None) -> None:
        ran.append(line)

    monkeypatch.setattr(do, "run", only_noted)
    return ran


def test_a_second_run_installs_nothing(fake_locks: list[list[object]]) -> None:
    do.environment(lock="core")
    assert "--require-hashes" in fake_locks[0]
    do.environment(lock="core")
    assert len(fake_locks) == 1


def test_a_changed_lock_installs_again(fake_locks: list[list[object]], tmp_path: Path) -> None:
    do.environment(lock="core")
    (tmp_path / "locks" / "core.txt").write_text("core==2\n", encoding="utf-8")
    do.environment(lock="core")
    assert len(fake_locks) == 2


def test_the_test_lock_serves_the_demonstration_too(fake_locks: list[list[object]]) -> None:
    do.environment(lock="test")
    do.environment(lock="core")
    do.environment(lock="postgres")
    assert len(fake_locks) == 1


def test_an_installation_that_broke_off_counts_for_nothing(
    fake_locks: list[list[object]], monkeypatch: pytest.MonkeyPatch
) -> None:
    do.environment(lock="core")

    def breaks(line: list[object], *, name: str, env: object = None) -> None:
        raise do.Stop("the network went away")

    with monkeypatch.context() as meanwhile:
        meanwhile.setattr(do, "run", breaks)
        with pytest.raises(do.Stop):
            do.environment(lock="test")
    do.environment(lock="core")
    assert len(fake_locks) == 2


# ---------------------------------------------------------------- what it starts ends with it


def alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_server_and_job_runner_end_with_the_command(how: signal.Signals) -> None:
    program = (
        "import sys, time, do\n"
        "sleeper = [sys.executable, '-c', 'import time; time.sleep(60)']\n"
        "with do.started(sleeper, sleeper, env=None) as children:\n"
        "    print(*[child.pid for child in children], flush=True)\n"
        "    time.sleep(60)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", program],
        cwd=do.TOP,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as running:
        assert running.stdout is not None
        pids = [int(pid) for pid in running.stdout.readline().split()]
        assert len(pids) == 2
        running.send_signal(how)
        running.wait(timeout=20)
    assert [pid for pid in pids if alive(pid)] == []


def test_a_server_that_dies_is_told_at_once() -> None:
    with subprocess.Popen([sys.executable, "-c", "raise SystemExit(3)"]) as server:
        server.wait()
        with pytest.raises(do.Stop, match="ended at once with code 3"):
            do.wait_until_answers("http://127.0.0.1:9/", server=server)


def test_progress_counts_and_tells_seconds(capfd: pytest.CaptureFixture[str]) -> None:
    step = do.Steps(total=2)
    with step("plan"):
        pass
    with step("papers"):
        do.say("No ink.")
    lines = capfd.readouterr().out.splitlines()
    assert lines[0].startswith("1/2 plan ... 0.")
    assert lines[1:3] == ["2/2 papers ...", "    No ink."]
