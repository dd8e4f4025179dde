"""The rules of this house, kept by reading its own files. Each rule is tried on a good and on a bad example.

Why each rule is there: DEVELOPERS.md, 'How this house is built'.
"""

import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import house
import pytest

DOORS = ("roomops/screens/", "roomops/tasks/", "roomops/celery_app.py")
PURE = ("roomops/husbandry/", "roomops/planning/")
MAY_TOUCH_FILES = {"roomops/planning/codec.py", "roomops/planning/__main__.py"}
MAY_WRITE = ("roomops/desk/", "roomops/records/migrations/")
THE_CLOCK = "roomops/tasks/clock.py"
TOP_LEVEL = {
    *(
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "Makefile",
        "manage.py",
        "pyproject.toml",
        "do.py",
        "compose.yaml",
    ),
    *("roomops", "templates", "tests", "fixtures", "docs", "locks", ".ci"),
    *(".gitignore", ".gitattributes", ".editorconfig"),
}
MOST_LINES = 350  # the aim is 300; past 350 a file holds two topics


def breaches(reader: Callable[[str], list[str]], *starts: str, spare: tuple[str, ...] = ()) -> list[str]:
    """What the reader finds in the Python files below the folders, each with its path."""
    return [
        f"{path} {found}"
        for path, text in house.texts(*starts, ends=(".py",))
        if not path.startswith(spare or ("\0",))
        for found in reader(text)
    ]


# ---------------------------------------------------------------- each reader sees a breach and nothing else


@pytest.mark.parametrize(
    ("reader", "good", "bad"),
    [
        (house.impurities, "from datetime import time\nimport math", "import time"),
        (
            house.impurities,
            "from collections.abc import Iterable",
            "def f():\n    from django.db import models",
        ),
        (house.impurities, "import random\nr = random.Random(4)", "import random\nrandom.shuffle(rows)"),
        (house.impurities, "def parse(text): ...", "text = open(name)"),
        (house.impurities, "now = facts.now", "now = datetime.now(tz=zone)"),
        (house.clock_reads, "day = clock.today(zone=zone)", "day = date.today()"),
        (house.clock_reads, "then = datetime.combine(day, at)", "then = datetime.datetime.utcnow()"),
        (house.clock_reads, "zone = timezone.get_current_timezone()", "now = timezone.now()"),
        (
            house.table_writes,
            "Tank.objects.filter(room=room)",
            "Tank.objects.filter(room=room).update(name='B')",
        ),
        (house.table_writes, "seen.update(more)", "Tank.objects.create(room=room)"),
        (house.table_writes, "pdf.save(path)", "tank.save()"),
        (house.table_writes, "del tank", "tank.delete()"),
        (house.table_writes, "note.add(text=text)", "Note.objects.bulk_create(notes)"),
        (house.table_writes, "cursor.execute('SELECT 1')", "cursor.execute(f'DELETE FROM {table}')"),
        (
            house.hidden_wiring,
            "from django.db import models",
            "from django.db.models.signals import post_save",
        ),
        (
            house.hidden_wiring,
            "class A(models.Model):\n  x = 1",
            "class A(models.Model):\n  def save(self): ...",
        ),
        (
            house.hidden_wiring,
            "class A(AppConfig):\n  name = 'a'",
            "class A(AppConfig):\n  def ready(self): ...",
        ),
        (house.hidden_wiring, "class Meta:\n  indexes = []", "class Meta:\n  ordering = ['name']"),
        (house.hidden_wiring, "from celery import Celery", "from celery import shared_task"),
        (house.machine_paths, "see docs/store.md and ~/home/x", "see /ho" + "me/robin/roomops"),
        (house.machine_paths, "the address /work/2026-07-01", "cd /wo" + "rk/main"),
        (house.check_marks, "a sticky ticket, particularly", "the box is ti" + "cked"),
        (house.check_marks, "done", "nearest_ti" + "ck = 3"),
        (house.banned_words, "Hand in the count", "Submit the count"),
        (house.banned_words, "a recorder", "two new entries"),
    ],
)
def test_each_reader_lets_the_good_example_pass_and_names_the_bad_one(
    reader: Callable[[str], list[str]], good: str, bad: str
) -> None:
    assert reader(good) == []
    assert reader(bad)


def test_the_registry_reader_knows_a_host_by_its_digest_and_the_hosts_below_it() -> None:
    known = frozenset({house.half_digest("packages.example")})
    assert house.registry_hosts("version 1.2.3 of django-tables2, see example.org", digests=known) == []
    assert house.registry_hosts("fetched from packages.example", digests=known)
    assert house.registry_hosts("--index https://eu.packages.example/simple", digests=known)


def test_the_template_reader_hears_text_and_spoken_attributes_only() -> None:
    silent = '<button type="submit" class="item">{{ user.name }}{# record #}<b>Done</b></button>'
    assert house.banned_words(house.words_of_a_template(silent)) == []
    assert house.banned_words(house.words_of_a_template('<img alt="a record of the day">'))
    assert house.banned_words(house.words_of_a_template("<p>All items</p>"))


def test_the_code_reader_hears_sentences_but_no_docstring_and_no_key() -> None:
    assert house.banned_words(house.words_of_code('"""An entry."""\nkind = "entry"')) == []
    assert house.banned_words(house.words_of_code('say = f"That entry is {x} late."'))


# ---------------------------------------------------------------- and the house keeps them


def test_the_pure_floors_reach_neither_machine_nor_framework_nor_clock() -> None:
    assert breaches(house.impurities, *PURE, spare=tuple(MAY_TOUCH_FILES)) == []


def test_the_verifier_imports_only_the_facts_and_the_plan() -> None:
    allowed = ("roomops.planning.room", "roomops.planning.plan", "roomops.planning.verify")
    good = "from roomops.planning.room import Room\nfrom roomops.planning.plan import Plan\nimport math"
    assert house.methods_known(good, allowed=allowed) == []
    assert house.methods_known("from roomops.planning import timetable", allowed=allowed)
    judges = list(house.texts("roomops/planning/verify", ends=(".py",)))
    assert judges
    assert [
        f"{path} {each}" for path, text in judges for each in house.methods_known(text, allowed=allowed)
    ] == []


def test_only_the_desk_writes_to_tables() -> None:
    assert breaches(house.table_writes, "roomops/", spare=MAY_WRITE) == []


def test_there_is_one_clock_and_only_doors_look_at_it() -> None:
    assert breaches(house.clock_reads, "roomops/", spare=(THE_CLOCK,)) == []
    lookers = [
        path
        for path, text in house.texts("roomops/", ends=(".py",))
        if any(
            module.startswith("roomops.tasks.clock") for _, module in house.imported(house.ast.parse(text))
        )
    ]
    assert [path for path in lookers if not path.startswith(DOORS)] == []


def test_nothing_runs_unseen() -> None:
    assert breaches(house.hidden_wiring, "roomops/") == []


def test_the_package_itself_is_empty_so_that_the_ground_floor_loads_nothing() -> None:
    assert (house.TOP / "roomops/__init__.py").read_text(encoding="utf-8") == ""


def test_no_file_holds_two_topics() -> None:
    long = {path: text.count("\n") for path, text in house.texts("roomops/", ends=(".py",))}
    assert {
        path: lines for path, lines in long.items() if lines > MOST_LINES and "migrations" not in path
    } == {}


def test_no_committed_file_names_a_registry_or_one_persons_machine() -> None:
    found = [
        f"{path}: {each}"
        for path, text in house.texts()
        for each in house.registry_hosts(text) + house.machine_paths(text)
    ]
    assert found == []


def test_the_top_level_holds_what_a_newcomer_needs_and_nothing_else() -> None:
    assert {path.split("/")[0] for path in house.files_of_the_project()} - TOP_LEVEL == set()


def test_pages_and_papers_say_no_banned_word() -> None:
    found = [
        f"{path} {each}"
        for path, text in house.texts("templates/", "roomops/")
        if path.endswith((".html", ".txt"))
        for each in house.banned_words(house.words_of_a_template(text))
    ]
    found += [
        f"{path} {each}"
        for path, text in house.texts("roomops/screens/", "roomops/papers/", ends=(".py",))
        for each in house.banned_words(house.words_of_code(text))
    ]
    assert found == []


def test_code_calls_a_check_mark_a_check_mark() -> None:
    starts = ("roomops/", "templates/", "tests/", "do.py", "README.md", "DEVELOPERS.md")
    assert [f"{path} {each}" for path, text in house.texts(*starts) for each in house.check_marks(text)] == []


def test_nothing_is_left_for_later_in_the_text() -> None:
    assert [path for path, text in house.texts() if house.UNFINISHED.search(text)] == []


def test_every_text_is_utf8_with_plain_line_ends() -> None:
    assert [path for path, text in house.texts() if "\r" in text] == []


# ---------------------------------------------------------------- the documents keep up


def documents() -> str:
    paths = [
        house.TOP / "README.md",
        house.TOP / "DEVELOPERS.md",
        *sorted((house.TOP / "docs").rglob("*.md")),
    ]
    return "\n".join(path.read_text(encoding="utf-8") for path in paths)


def test_the_settings_reader_finds_each_way_of_reading() -> None:
    text = 'a = os.environ.get("A_1")\nb = _yes("B_2")\nc = os.environ["C_3"]\nd = chosen("D_4", "")'
    assert house.settings_read(text) == {"A_1", "B_2", "C_3", "D_4"}


def test_every_setting_is_explained_in_the_contributors_guide() -> None:
    guide = (house.TOP / "DEVELOPERS.md").read_text(encoding="utf-8")
    names = house.settings_read((house.TOP / "roomops/settings.py").read_text(encoding="utf-8"))
    assert {"DATABASE_URL", "REDIS_URL", "ROOMOPS_VAR"} <= names
    names |= house.settings_read((house.TOP / "do.py").read_text(encoding="utf-8"))
    assert {name for name in names if f"`{name}`" not in guide} == set()


def test_every_command_is_explained() -> None:
    told = documents()
    commands = (house.TOP / "roomops/tasks/management/commands").glob("[a-z]*.py")
    assert {path.stem for path in commands if f"manage.py {path.stem}" not in told} == set()
    doings = re.findall(
        r'^    "(\w+)": ',
        (house.TOP / "do.py").read_text(encoding="utf-8").split("COMMAND = {")[1],
        re.MULTILINE,
    )
    assert {"demo", "test"} <= set(doings)
    assert {name for name in doings if f"do.py {name}" not in told} == set()


def test_every_document_named_in_a_document_exists() -> None:
    missing = [
        f"{path}: {link}"
        for path, text in house.texts(ends=(".md",))
        for link in re.findall(r"\]\(([^)#:\s]+)(?:#[^)]*)?\)", text)
        if not ((house.TOP / path).parent / link).exists()
    ]
    assert missing == []


def files_told(text: str) -> tuple[set[str], set[str]]:
    """Files that a guide names, as `name.py` or with a folder: those that are there, and those not yet."""
    told = set(re.findall(r"`([\w/]+\.py)`", text))
    absent: set[str] = set()
    for point in re.findall(r"^- Not there yet.*?(?=^- |^$)", text, re.MULTILINE | re.DOTALL):
        absent |= set(re.findall(r"`([\w/]+\.py)`", point))
    return told - absent, absent


def test_the_contributors_guide_names_files_that_are_there_and_knows_which_are_not() -> None:
    paths = [f"/{path}" for path in house.files_of_the_project()]
    there, absent = files_told((house.TOP / "DEVELOPERS.md").read_text(encoding="utf-8"))
    assert {"heat.py", "do.py", "desk/checking.py"} <= there
    assert [name for name in sorted(there) if not any(path.endswith(f"/{name}") for path in paths)] == []
    assert "husbandry/growth.py" in absent
    assert [name for name in sorted(absent) if any(path.endswith(f"/{name}") for path in paths)] == []


def test_the_locks_pin_and_hash_everything_and_name_no_address() -> None:
    for path, text in house.texts("locks/", ends=(".txt",)):
        pins = re.findall(r"^([a-z0-9-]+)==\S+", text, re.MULTILINE)
        assert len(pins) > 20, path
        assert "://" not in text, path
        assert all(
            "--hash=sha256:" in block
            for block in re.split(r"^(?=[a-z0-9-]+==)", text, flags=re.MULTILINE)[1:]
        ), path


# ---------------------------------------------------------------- the import rules bite


def lint_imports(top: Path) -> subprocess.CompletedProcess[str]:
    tool = Path(sys.executable).with_name("lint-imports")
    return subprocess.run([tool, "--no-cache"], cwd=top, capture_output=True, text=True, check=False)


@pytest.fixture
def copy_of_the_house(tmp_path: Path) -> Path:
    for path, text in house.texts("roomops/", ends=(".py",)):
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_text(text, encoding="utf-8")
    shutil.copy(house.TOP / "pyproject.toml", tmp_path)
    return tmp_path


def test_the_import_rules_hold() -> None:
    told = lint_imports(house.TOP)
    assert told.returncode == 0, told.stdout


@pytest.mark.parametrize(
    ("path", "line", "contract"),
    [
        ("roomops/husbandry/__init__.py", "import roomops.desk", "Floors"),
        ("roomops/records/names.py", "import roomops.papers", "Floors"),
        ("roomops/desk/__init__.py", "import roomops.celery_app", "Floors"),
        ("roomops/attic/__init__.py", "", "Floors"),  # a new floor must say where it lies
        ("roomops/planning/__init__.py", "import django.db", "pure floors"),
        ("roomops/screens/__init__.py", "import roomops.settings", "settings"),
    ],
)
def test_a_planted_breach_of_the_import_rules_is_seen(
    copy_of_the_house: Path, path: str, line: str, contract: str
) -> None:
    planted = copy_of_the_house / path
    planted.parent.mkdir(parents=True, exist_ok=True)
    with planted.open("a", encoding="utf-8") as file:
        file.write(f"\n{line}\n")
    told = lint_imports(copy_of_the_house)
    broken = [each for each in told.stdout.splitlines() if "BROKEN" in each]
    assert told.returncode != 0
    assert [each for each in broken if contract in each], told.stdout


def test_the_linter_bans_the_clock_with_a_sentence_that_teaches(tmp_path: Path) -> None:
    planted = tmp_path / "planted.py"
    planted.write_text(
        '"""A planted breach."""\n\nfrom datetime import date\n\nDAY = date.today()\n', encoding="utf-8"
    )
    line = [
        sys.executable,
        "-m",
        "ruff",
        "check",
        "--config",
        str(house.TOP / "pyproject.toml"),
        str(planted),
    ]
    told = subprocess.run(line, capture_output=True, text=True, check=False)
    assert told.returncode == 1
    assert "take `today: date` as an argument" in told.stdout


@pytest.mark.parametrize(("speaker", "code"), [("roomops.desk.day", 1), ("somebody.elses", 0)])
def test_our_own_warnings_are_errors(tmp_path: Path, speaker: str, code: int) -> None:
    planted = tmp_path / "test_planted.py"
    warn = f"warnings.warn_explicit('old', DeprecationWarning, 'a.py', 1, module={speaker!r})"
    planted.write_text(f"import warnings\n\ndef test_warns():\n    {warn}\n", encoding="utf-8")
    line = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:django"]
    line += ["-c", str(house.TOP / "pyproject.toml"), "--rootdir", str(tmp_path), str(planted)]
    line += ["-o", "DJANGO_SETTINGS_MODULE=", "-o", "strict_config=false"]
    told = subprocess.run(line, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert told.returncode == code, told.stdout + told.stderr
