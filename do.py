#!/usr/bin/env python3
"""The one hand that sets Roomops up and runs it: `python3 do.py demo`.

    demo      the invented room: made, planned, printed and served on this machine
    serve     a real room: the database that DATABASE_URL names, else var/room.sqlite3
    test      the tests; what follows is handed to pytest (`python3 do.py test -k feeding`)
    check     ruff, mypy and the import rules
    bench     the figures that the documentation gives, measured here
    pictures  the pictures in docs/pictures, taken anew
    manage    one of the room's own commands (`python3 do.py manage backup`)
    lock      the files in locks/ anew from pyproject.toml (needs the network)

Choices are environment variables, or written as NAME=VALUE anywhere on the line:
    HOST=127.0.0.1    the address to serve on        PORT=8000          a busy port becomes the next free one
    SERVE=no          demo: make everything, stop    TODAY=2026-07-01   demo: the day that it plays
    FRESH=yes         demo: forget what was entered  PYTHON=python3.12  which Python makes the environment
    VENV=.venv        where the environment lies     REFRESH=yes        lock: take newer versions too

Standard library only. Any Python 3 can start it; it goes on under 3.11, 3.12 or 3.13.
"""

import contextlib
import errno
import hashlib
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

TOP = Path(__file__).resolve().parent
VAR = TOP / "var"
COMMANDS = Path("roomops", "tasks", "management", "commands")
OLDEST, NEWEST = (3, 11), (3, 13)
CHOICES = ("HOST", "PORT", "SERVE", "TODAY", "FRESH", "PYTHON", "VENV", "REFRESH")
LOCKS = {"core": ("core",), "postgres": ("core", "postgres"), "test": ("core", "postgres", "test")}
PDF_PACKAGES = ("libpango-1.0-0", "libpangoft2-1.0-0")
HERE_ONLY = ("127.0.0.1", "localhost", "::1")
WINDOWS = os.name == "nt"


class Stop(Exception):  # noqa: N818 -- not an error of the program: one sentence with the remedy
    """Nothing more can be done; the message is one sentence with the remedy."""


class Steps:
    """Numbered progress with seconds: `2/6 the day's plan ... 0.8 s`."""

    line_open = False

    def __init__(self, *, total):
        self.total, self.count, self.since = total, 0, 0.0

    def __call__(self, what):
        """Begin a step."""
        self.count, self.since = self.count + 1, time.monotonic()
        print(f"{self.count}/{self.total} {what} ...", end="", flush=True)
        Steps.line_open = True
        return self

    def __enter__(self):
        return self

    def __exit__(self, kind, error, trace):
        print((" " if Steps.line_open else "    ") + f"{time.monotonic() - self.since:.1f} s", flush=True)
        Steps.line_open = False


def say(sentence):
    """One sentence to the person at the keyboard, below the step that it belongs to."""
    print(("\n" if Steps.line_open else "") + "    " + sentence, flush=True)
    Steps.line_open = False


def chosen(name, default):
    """A choice from the environment; an empty one counts as not made."""
    return os.environ.get(name) or default


def yes(name, *, default):
    """Whether the choice is on: everything but no, false, off and 0 is."""
    return chosen(name, default).lower() not in ("no", "false", "off", "0")


# ---------------------------------------------------------------- Python and its environment


def version_of(python):
    """(major, minor) of an interpreter, or None where it does not start."""
    ask = [str(python), "-c", "import sys; print('%d %d' % sys.version_info[:2])"]
    try:
        line = subprocess.check_output(ask, stderr=subprocess.DEVNULL, universal_newlines=True)
    except (OSError, subprocess.CalledProcessError):
        return None
    found = re.match(r"^(\d+) (\d+)$", line.strip())
    return (int(found.group(1)), int(found.group(2))) if found else None


def fits(version):
    """Whether Roomops runs under this Python."""
    return version is not None and OLDEST <= version <= NEWEST


def find_python(*, own, wanted, which=shutil.which, version=version_of):
    """Path of a Python that fits: the one asked for, the one running this, else the newest on the path."""
    if wanted:
        path = which(wanted)
        if path and fits(version(path)):
            return path
        raise Stop(f"PYTHON={wanted} is no Python 3.11, 3.12 or 3.13 that starts here: name another.")
    if fits(version(own)):
        return own
    names = [f"python3.{minor}" for minor in range(NEWEST[1], OLDEST[1] - 1, -1)] + ["python3", "python"]
    for path in filter(None, map(which, names)):
        if fits(version(path)):
            return path
    here = ".".join(map(str, version(own) or ("of another kind",)))
    raise Stop(
        f"Roomops needs Python 3.11, 3.12 or 3.13 and found only Python {here}: install one of them, on "
        "Debian, Ubuntu or Fedora as the package python3.11, python3.12 or python3.13, and run this again."
    )


def go_on_under(python):
    """Continue this very command under another interpreter."""
    line = [python, str(TOP / "do.py"), *sys.argv[1:]]
    if WINDOWS:
        sys.exit(subprocess.call(line))
    os.execv(python, line)


def apt_install(*packages):
    """Whether root on Debian or Ubuntu could install the packages. Says what it does."""
    if WINDOWS or os.geteuid() != 0 or not shutil.which("apt-get"):
        return False
    say("Installing " + " ".join(packages) + " with apt-get.")
    quiet = {
        "env": dict(os.environ, DEBIAN_FRONTEND="noninteractive"),
        "stdin": subprocess.DEVNULL,
        "stdout": subprocess.DEVNULL,
        "stderr": subprocess.DEVNULL,
    }
    subprocess.call(["apt-get", "update", "-qq"], **quiet)
    return (
        subprocess.call(["apt-get", "install", "-y", "-qq", "--no-install-recommends", *packages], **quiet)
        == 0
    )


def venv_python(folder):
    """Path of the environment's interpreter."""
    return folder / "Scripts" / "python.exe" if WINDOWS else folder / "bin" / "python"


def digest_of(lock):
    """Digest of a lock file's text."""
    return hashlib.sha256((TOP / "locks" / f"{lock}.txt").read_bytes()).hexdigest()


def make_venv(*, folder, python):
    """Make a new, empty environment, with pip inside."""
    if subprocess.call([python, "-c", "import ensurepip, venv"], stderr=subprocess.DEVNULL) != 0:
        package = "python{}.{}-venv".format(*version_of(python))
        if not apt_install(package):
            raise Stop(
                f"This Python cannot make environments: install the package {package} and run this again."
            )
    run([python, "-m", "venv", "--clear", folder], name="venv")


def environment(*, lock):
    """Interpreter with what the lock names; seconds the first time, nothing the next."""
    folder = TOP / chosen("VENV", ".venv")
    python, stamp = venv_python(folder), folder / "roomops-locks.json"
    version = version_of(python)
    if not fits(version) or (chosen("PYTHON", "") and version != sys.version_info[:2]):
        make_venv(folder=folder, python=sys.executable)
    if read_json(stamp).get(lock) == digest_of(lock):
        return python
    if stamp.exists():
        stamp.unlink()  # half an installation carries no stamp
    pip = [python, "-m", "pip", "install", "-q", "--no-input", "--disable-pip-version-check"]
    run([*pip, "--require-hashes", "-r", TOP / "locks" / f"{lock}.txt"], name="pip")
    write_json(stamp, {part: digest_of(part) for part in LOCKS[lock]})
    return python


def pdf_ready(python):
    """Whether PDFs can be made; installs the system libraries where it may, else says what is missing."""
    probe = [python, "-c", "import weasyprint"]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    if subprocess.call(probe, **quiet) == 0:
        return True
    if apt_install(*PDF_PACKAGES) and subprocess.call(probe, **quiet) == 0:
        return True
    missing = " and ".join(PDF_PACKAGES)
    say(f"No PDFs: papers come as printable HTML pages until the system libraries {missing} are installed.")
    return False


# ---------------------------------------------------------------- small tools


def read_json(path):
    """The object in a file; an empty one where there is no such file or it is broken."""
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}


def write_json(path, what):
    """Write an object whole or not at all."""
    new = path.with_name(path.name + ".new")
    new.write_text(json.dumps(what, indent=1, sort_keys=True), encoding="utf-8")
    new.replace(path)


def run(line, *, name, env=None):
    """What the command printed. A failure ends all with its last line; the rest lies in var/log/."""
    quiet = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.STDOUT}
    done = subprocess.run(list(map(str, line)), cwd=str(TOP), env=env, check=False, **quiet)
    printed = done.stdout.decode("utf-8", "replace")
    log = VAR / "log" / f"{name}.txt"
    log.parent.mkdir(parents=True, exist_ok=True)
    log.write_text(printed, encoding="utf-8")
    if done.returncode != 0:
        last = ([each.strip() for each in printed.splitlines() if each.strip()] or ["it printed nothing"])[-1]
        raise Stop(f"{name} did not succeed: {last} (all that it printed: {log})")
    return printed


def command_exists(name):
    """Refuse a command that this checkout does not hold, in one sentence."""
    if not (TOP / COMMANDS / f"{name}.py").exists():
        raise Stop(f"This checkout has no command {name}: the file {COMMANDS / name}.py is missing.")


def manage(python, name, *arguments, env):
    """What one of the room's commands printed."""
    return run([python, "manage.py", name, *arguments], name=name, env=env)


def free_port(*, host, port):
    """The port asked for, or the next one that nobody listens on (50 are tried)."""
    for each in range(port, min(port + 50, 65536)):
        with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET) as probe:
            if not WINDOWS:
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((host, each))
            except OSError as problem:
                if problem.errno not in (errno.EADDRINUSE, errno.EACCES):
                    raise Stop(f"HOST={host} is no address of this machine: {problem.strerror}.") from None
            else:
                return each
    raise Stop(f"No port from {port} to {port + 49} is free: name another with PORT=.")


def asked_address():
    """HOST and PORT, the port as a number."""
    port = chosen("PORT", "8000")
    if not port.isdigit() or not 1 <= int(port) <= 65535:
        raise Stop(f"PORT={port} is no port: give a number from 1 to 65535.")
    return chosen("HOST", "127.0.0.1"), int(port)


def source_digest():
    """Digest of all that decides what the demonstration looks like; a change makes it anew."""
    digest = hashlib.sha256()
    for part in ("roomops", "templates", "fixtures"):
        for path in sorted((TOP / part).rglob("*")):
            if path.is_file() and path.suffix != ".pyc":
                digest.update(str(path.relative_to(TOP)).encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


# ---------------------------------------------------------------- serving


def server_line(python, *, host, port):
    """Words that start the server: gunicorn's plain workers, Django's own server where there is no fork."""
    if WINDOWS:
        return [python, "manage.py", "runserver", "--noreload", "--insecure", f"{host}:{port}"]
    bind = f"[{host}]:{port}" if ":" in host else f"{host}:{port}"
    return [
        *(python, "-m", "gunicorn", "roomops.wsgi", "--bind", bind),
        *("--workers", "2", "--worker-class", "sync", "--log-level", "warning", "--no-control-socket"),
    ]


def wait_until_answers(address, *, server, told="the lines above", seconds=30):
    """Return once the server answers a page; end all where it dies or answers with an error."""
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if server.poll() is not None:
            raise Stop(f"The server ended at once with code {server.returncode}: see {told}.")
        try:
            urllib.request.urlopen(address, timeout=5).close()  # noqa: S310 -- our own server
        except urllib.error.HTTPError as answer:
            raise Stop(f"The server answers {address} with error {answer.code}: see {told}.") from None
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise Stop(f"The server did not answer within {seconds} seconds.")


def stop(children):
    """End what was started, politely first."""
    for child in children:
        if child.poll() is None:
            child.terminate()
    for child in children:
        try:
            child.wait(timeout=10)
        except subprocess.TimeoutExpired:
            child.kill()
            child.wait()


@contextlib.contextmanager
def started(*lines, env, log=None):
    """Run processes side by side, what they say going to the log; whatever ends this ends them too."""
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), lambda *_: sys.exit(0))
    children = []
    try:
        # Sessions of their own: Ctrl-C reaches this process alone, which then ends them in order.
        own = {"cwd": str(TOP), "env": env, "start_new_session": True, "stdout": log, "stderr": log}
        for line in lines:
            children.append(subprocess.Popen(line, **own))  # noqa: PERF401 -- started so far, ended if need be
        yield children
    finally:
        stop(children)


def serve(python, step, *, env, log=None):
    """Server and job runner until Ctrl-C, or until one of them ends by itself."""
    host, port = asked_address()
    found = free_port(host=host, port=port)
    shown = {"0.0.0.0": "127.0.0.1", "::": "[::1]", "::1": "[::1]"}.get(host, host)  # noqa: S104 -- asked for
    pages, jobs = server_line(python, host=host, port=found), [python, "manage.py", "work"]
    told = log.name if log else "the lines above"
    step = step("server and job runner")
    if found != port:
        say(f"Port {port} is busy: taking {found}.")
    if host not in HERE_ONLY:
        say(f"Serving on {host}: everyone on this network can open it.")
    try:
        with started(pages, jobs, env=env, log=log) as (server, runner):
            with step:
                wait_until_answers(f"http://{shown}:{found}/sign-in", server=server, told=told)
            print(f"\nOpen http://{shown}:{found}/   (Ctrl-C stops it)", flush=True)
            while server.poll() is None and runner.poll() is None:
                time.sleep(0.3)
            ended = "job runner" if server.poll() is None else "server"
            raise Stop(f"The {ended} ended by itself: see {told}.")
    except KeyboardInterrupt:
        print("\nStopping.")


# ---------------------------------------------------------------- the commands


def demo_env():
    """Environment of the demonstration: its own folder and database file, whatever a real room uses."""
    env = {name: value for name, value in os.environ.items() if not name.startswith("ROOMOPS_")}
    env.pop("REDIS_URL", None)
    env.update(
        DATABASE_URL="sqlite:///" + (VAR / "demo.sqlite3").as_posix(),
        ROOMOPS_VAR=str(VAR / "demo"),
        ROOMOPS_DEMO="yes",
    )
    if chosen("TODAY", ""):
        env["ROOMOPS_TODAY"] = os.environ["TODAY"]
    if chosen("HOST", "127.0.0.1") not in HERE_ONLY:
        env["ROOMOPS_HOSTS"] = "*"
    return env


def demo_date(python):
    """The day to play: TODAY, else the date where the invented room stands."""
    asked = chosen("TODAY", "")
    check = "import datetime, sys; datetime.date.fromisoformat(sys.argv[1])"
    if asked and subprocess.call([python, "-c", check, asked], stderr=subprocess.DEVNULL) != 0:
        raise Stop(f"TODAY={asked} is no date: write it as 2026-07-01.")
    there = (
        "import datetime, zoneinfo; print(datetime.datetime.now(zoneinfo.ZoneInfo('America/Chicago')).date())"
    )
    return asked or run([python, "-c", there], name="date").strip()


@contextlib.contextmanager
def demo_lock():
    """Whether this is the only demonstration that runs from this folder."""
    folder = VAR / "demo"
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / "lock").open("w") as held:
        yield WINDOWS or lock_file(held)


def lock_file(held):
    """Whether nobody else holds the file; it is held until it closes."""
    import fcntl  # noqa: PLC0415 -- Windows has none

    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def make_demo(python, step, *, env, day):
    """Make the invented room in its own new database and plan its day; answer what the loader printed."""
    for old in VAR.glob("demo.sqlite3*"):
        old.unlink()
    with step("database var/demo.sqlite3"):
        manage(python, "migrate", "--no-input", env=env)
        manage(python, "collectstatic", "--no-input", "--clear", env=env)
    with step(f"the invented room on {day}"):
        sign_ins = manage(python, "invented_room", "--today", day, env=env)
    with step("the day's plan"):
        manage(python, "plan_day", "--date", day, env=env)
    return sign_ins


def made_demo(python, step, *, env, alone, pdf):
    """Make the demonstration where day or program changed, else leave it as it was; say who signs in."""
    day = demo_date(python)
    papers, stamp = VAR / "demo" / "papers" / day, VAR / "demo" / "made.json"
    made, now = read_json(stamp), {"day": day, "source": source_digest()}
    if made.get("from") != now or not (VAR / "demo.sqlite3").exists() or yes("FRESH", default="no"):
        if not alone:
            raise Stop("Another demonstration runs from here on another day or version: stop it first.")
        write_json(stamp, {})  # a demonstration half made counts for nothing
        made = {"from": now, "sign_ins": make_demo(python, step, env=env, day=day)}
    else:
        step.count += 3
        say(f"The room of {day} is as you left it (FRESH=yes makes it anew).")
    if made.get("pdf") == pdf and papers.exists():
        step.count += 1
    else:
        with step("the shift's papers"):
            shutil.rmtree(str(papers), ignore_errors=True)
            manage(python, "papers", "--date", day, "--into", papers, env=env)
        write_json(stamp, dict(made, pdf=pdf))
    print(f"\n{made['sign_ins'].strip()}\nThe shift's papers are in {papers.relative_to(TOP)}\n")


def demo(arguments):
    """Show the invented room, from nothing to pages and papers."""
    no_more(arguments)
    asked_address()
    for each in ("invented_room", "plan_day", "papers", "work"):
        command_exists(each)
    serving = yes("SERVE", default="yes")
    step = Steps(total=7 if serving else 6)
    with step("Python packages from locks/core.txt"):
        python = environment(lock="core")
    with step("PDF libraries"):
        pdf = pdf_ready(python)
    env = demo_env()
    with demo_lock() as alone:
        made_demo(python, step, env=env, alone=alone, pdf=pdf)
        if serving:
            (VAR / "log").mkdir(exist_ok=True)
            with (VAR / "log" / "demo.txt").open("w") as log:
                serve(python, step, env=env, log=log)


def real_lock():
    """Name of the lock that a real room's database needs."""
    return "postgres" if chosen("DATABASE_URL", "").startswith("postgres") else "core"


def serve_real(arguments):
    """Serve a real room: migrate (a backup comes first), collect static files, start."""
    no_more(arguments)
    asked_address()
    step = Steps(total=4)
    with step(f"Python packages from locks/{real_lock()}.txt"):
        python = environment(lock=real_lock())
    with step("PDF libraries"):
        pdf_ready(python)
    env = {name: value for name, value in os.environ.items() if name not in ("ROOMOPS_DEMO", "ROOMOPS_TODAY")}
    with step("the room's database"):
        told = manage(python, "migrate", "--no-input", env=env)
        manage(python, "collectstatic", "--no-input", env=env)
        for line in told.splitlines():
            if line.startswith("Backup"):
                say(line)
    serve(python, step, env=env)


def tooled():
    """The environment with all the tools of the contributors."""
    with Steps(total=1)("Python packages from locks/test.txt"):
        return environment(lock="test")


def test(arguments):
    """Run the tests, in parallel unless told otherwise."""
    python = tooled()
    pdf_ready(python)
    spread = [] if any(re.match(r"^(-n|--numprocesses|--pdb)", each) for each in arguments) else ["-n", "2"]
    env = dict({"ROOMOPS_VAR": str(VAR / "test")}, **os.environ)
    return subprocess.call([python, "-m", "pytest", *spread, *arguments], cwd=str(TOP), env=env)


def check(arguments):
    """Run what reads the code without running it: all of it, and the first failure is the answer."""
    no_more(arguments)
    python = tooled()
    lines = (
        [python, "-m", "ruff", "check"],
        [python, "-m", "ruff", "format", "--check"],
        [python, "-m", "mypy"],
        [python.with_name("lint-imports"), "--no-cache"],
    )
    codes = [subprocess.call(line, cwd=str(TOP)) for line in lines]
    return next((code for code in codes if code), 0)


def script(path):
    """Make a command of a script of the project, run with all the tools at hand."""

    def command(arguments):
        if not (TOP / path).exists():
            raise Stop(f"This checkout has no {path}.")
        return subprocess.call([tooled(), path, *arguments], cwd=str(TOP))

    return command


def manage_command(arguments):
    """Run one of the room's own commands, as `manage.py` would."""
    return subprocess.call([environment(lock=real_lock()), "manage.py", *arguments], cwd=str(TOP))


def lock(arguments):
    """Write the lock files anew: pinned, hashed, for every Python that fits, naming no address."""
    no_more(arguments)
    step = Steps(total=1 + len(LOCKS))
    with step("the tool that makes locks"):
        python = venv_python(VAR / "lock-tool")
        if not python.exists():
            make_venv(folder=VAR / "lock-tool", python=sys.executable)
            run([python, "-m", "pip", "install", "-q", "uv"], name="pip")
    line = [
        python,
        "-m",
        "uv",
        "pip",
        "compile",
        "pyproject.toml",
        "-q",
        "--universal",
        "--python-version",
        "3.11",
    ]
    line += ["--generate-hashes", "--no-emit-index-url", "--no-header"]
    line += ["--upgrade"] if yes("REFRESH", default="no") else []
    for name in LOCKS:
        more = [] if name == "core" else ["--extra", name, "-c", "locks/core.txt"]
        with step(f"locks/{name}.txt"):
            run([*line, *more, "-o", f"locks/{name}.txt"], name="lock")


def no_more(arguments):
    """Refuse words that mean nothing here, instead of passing over them."""
    if arguments:
        raise Stop(f"'{arguments[0]}' means nothing here: `python3 do.py help` lists what does.")


COMMAND = {
    "demo": demo,
    "serve": serve_real,
    "test": test,
    "check": check,
    "bench": script("tests/bench/__main__.py"),
    "pictures": script("docs/pictures/take.py"),
    "manage": manage_command,
    "lock": lock,
}


def main(words):
    """Exit code of the command that the words name."""
    choices = [word for word in words if "=" in word and word.split("=")[0] in CHOICES]
    os.environ.update(word.split("=", 1) for word in choices)
    words = [word for word in words if word not in choices]
    if not words or words[0] not in COMMAND:
        print(__doc__.strip())
        return 0 if not words or words[0] in ("help", "-h", "--help") else 2
    try:
        python = find_python(own=sys.executable, wanted=chosen("PYTHON", ""))
        if version_of(python) != sys.version_info[:2]:
            go_on_under(python)
        return COMMAND[words[0]](words[1:]) or 0
    except Stop as sentence:
        print(f"\n{sentence}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
