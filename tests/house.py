"""The house's rules as readers of text: each answers with the breaches it sees, so that each can be tried.

A reader takes the text of one file and answers with lines for a person: where, what, and what to do instead.
"""

import ast
import hashlib
import re
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

TOP = Path(__file__).resolve().parent.parent
NO_TEXT = {".png", ".jpg", ".pdf", ".ttf", ".otf", ".woff2", ".ico"}

IMPURE_MODULES = {
    *(
        "django",
        "celery",
        "redis",
        "weasyprint",
        "os",
        "io",
        "pathlib",
        "socket",
        "sqlite3",
        "subprocess",
        "sys",
    ),
    *(
        "time",
        "logging",
        "shutil",
        "tempfile",
        "threading",
        "asyncio",
        "urllib",
        "http",
        "secrets",
        "uuid",
        "locale",
    ),
}
IMPURE_CALLS = {"open", "print", "input", "eval", "exec", "breakpoint", "globals", "__import__"}
CLOCKS = {
    *(
        "datetime.now",
        "datetime.utcnow",
        "datetime.today",
        "date.today",
        "timezone.now",
        "timezone.localdate",
    ),
    *("timezone.localtime", "time.time", "time.time_ns", "time.localtime", "time.gmtime", "time.ctime"),
}
ALWAYS_WRITES = {"get_or_create", "update_or_create", "bulk_create", "bulk_update"}
SQL_WRITES = re.compile(r"^\s*(INSERT|UPDATE|DELETE|REPLACE|TRUNCATE|DROP|ALTER|CREATE)\s", re.IGNORECASE)


@cache
def files_of_the_project() -> tuple[str, ...]:
    """Paths of all that is committed or about to be, as git sees it."""
    line = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(line, cwd=TOP, capture_output=True, text=True, check=True).stdout.splitlines()
    return tuple(sorted(path for path in set(listed) if (TOP / path).is_file()))


def texts(*starts: str, ends: tuple[str, ...] = ("",)) -> Iterator[tuple[str, str]]:
    """(path, text) of the project's text files below the given folders."""
    for path in files_of_the_project():
        if path.startswith(starts or ("",)) and path.endswith(ends) and Path(path).suffix not in NO_TEXT:
            yield path, (TOP / path).read_bytes().decode("utf-8")  # line ends as they are


def dotted(node: ast.AST) -> str:
    """`a.b.c` of a name or attribute; a call in between shows as (): `Tank.objects.filter().update`."""
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute):
        return f"{dotted(node.value)}.{node.attr}"
    if isinstance(node, ast.Call):
        return dotted(node.func) + "()"
    if isinstance(node, ast.Subscript):
        return dotted(node.value)
    return "?"


def imported(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """(line, module) of every import, those inside functions too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, each.name) for each in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.lineno, node.module or "."
            yield from ((node.lineno, f"{node.module}.{each.name}") for each in node.names)


def calls(tree: ast.AST) -> Iterator[tuple[ast.Call, str]]:
    """Every call with the dotted name of what is called."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            yield node, dotted(node.func)


# ---------------------------------------------------------------- the readers


def impurities(text: str) -> list[str]:
    """What a pure floor must not do: reach the machine, a framework, a clock or global randomness."""
    tree = ast.parse(text)
    found = [
        f"line {line}: imports {module}; a pure floor takes what it needs as an argument"
        for line, module in imported(tree)
        if module.split(".")[0] in IMPURE_MODULES
    ]
    for call, name in calls(tree):
        if name in IMPURE_CALLS:
            found.append(f"line {call.lineno}: calls {name}(); doors read and write, pure floors answer")
        if name.startswith("random.") and name != "random.Random":
            found.append(
                f"line {call.lineno}: calls {name}(); use random.Random(seed): same facts, same plan"
            )
    return found + clock_reads(text)


def methods_known(text: str, *, allowed: tuple[str, ...]) -> list[str]:
    """Own modules that a judge imports beyond facts and answer: it must not know how the answer came."""
    return [
        f"line {line}: imports {module}; a judge knows only {' and '.join(allowed)}"
        for line, module in imported(ast.parse(text))
        if module.startswith("roomops") and not module.startswith(allowed)
    ]


def clock_reads(text: str) -> list[str]:
    """Reads of a clock: they belong to roomops.tasks.clock, and everything below takes `now` or `today`."""
    return [
        f"line {call.lineno}: {name}() reads the clock; take `now: datetime` or `today: date` as an argument"
        for call, name in calls(ast.parse(text))
        if ".".join(name.split(".")[-2:]) in CLOCKS
    ]


def _writes_a_table(call: ast.Call, name: str) -> bool:
    *before, last = name.split(".")
    of_a_query = bool({"objects", "filter()", "exclude()", "all()"} & set(before))
    if last in {"execute", "executemany"}:
        return bool(call.args) and bool(SQL_WRITES.match(_first_text(call.args[0])))
    if last in {"save", "delete"} and before and not call.args:
        return True
    return last in ALWAYS_WRITES or (of_a_query and last in {"create", "update", "delete"})


def _first_text(node: ast.AST) -> str:
    if isinstance(node, ast.JoinedStr) and node.values:
        node = node.values[0]
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


def table_writes(text: str) -> list[str]:
    """Writes to tables, as far as names tell: only the desk's hand does that."""
    return [
        f"line {call.lineno}: {name}() writes to a table; only the desk writes, so call a use case of it"
        for call, name in calls(ast.parse(text))
        if _writes_a_table(call, name)
    ]


def hidden_wiring(text: str) -> list[str]:
    """Django's ways to run code unseen: signals, ready(), save() overrides, orderings, generic keys."""
    tree = ast.parse(text)
    found = [
        f"line {line}: imports {module}; call what shall happen from the use case that causes it"
        for line, module in imported(tree)
        if re.match(
            r"django\.(db\.models\.signals|dispatch|contrib\.admin|contrib\.contenttypes\.fields)\b", module
        )
        or module == "celery.shared_task"
    ]
    for node in ast.walk(tree):
        if not isinstance(node, ast.ClassDef):
            continue
        names = {each.name for each in node.body if isinstance(each, ast.FunctionDef)}
        bases = " ".join(dotted(base) for base in node.bases)
        if "save" in names and "Model" in bases:
            found.append(
                f"line {node.lineno}: {node.name} overrides save(); write it in a use case of the desk"
            )
        if "ready" in names and "AppConfig" in bases:
            found.append(
                f"line {node.lineno}: {node.name}.ready() works at import time; do it where it is needed"
            )
        if node.name == "Meta" and any(
            isinstance(each, ast.Assign) and dotted(each.targets[0]) == "ordering" for each in node.body
        ):
            found.append(
                f"line {node.lineno}: Meta.ordering hides a sort in every query; order where it is read"
            )
    return found


# The first half of the digest of each host, so that the rule can be kept without naming one.
REGISTRY_HOSTS = frozenset(
    {
        "a4aa2ac280bb8d1a",
        "8b5bb5eb9d758455",
        "d6d7019ca9fcbf07",
        "8743857e3ea00fd1",
        "3ca29e55be4befa4",
        "789e46d79514e280",
        "66394d5952c288e4",
        "71741fe2460a6150",
        "c3db8466ffcd8589",
        "3530c4415dd857fb",
        "26b9cccfe247fdba",
        "0fd460f0568e29c1",
        "271dacc9f4d0caf8",
        "e680c440a2e92079",
        "1ba4e37997a2e986",
        "a0f007d863a0ed19",
        "e514b0d3b0562f54",
        "62f256676f138898",
        "f65219c547f9c032",
        "2c77714df232b07f",
        "51c6b9f69c48a75b",
        "9c6b05022d03bb05",
        "e2dd3580aeebec64",
    }
)


def half_digest(host: str) -> str:
    return hashlib.sha256(host.encode()).hexdigest()[:16]


def registry_hosts(text: str, *, digests: frozenset[str] = REGISTRY_HOSTS) -> list[str]:
    """Hosts of package registries: where packages come from is each machine's own affair."""
    words = set(re.findall(r"[a-z0-9-]+(?:\.[a-z0-9-]+)+", text.lower()))
    parents = {
        (word, ".".join(word.split(".")[start:])) for word in words for start in range(word.count("."))
    }
    return sorted(
        {
            f"names the registry {word[:2]}…; leave addresses out"
            for word, host in parents
            if half_digest(host) in digests
        }
    )


def machine_paths(text: str) -> list[str]:
    """Paths of one person's machine, which nobody else has."""
    found = re.findall(
        r"(?<![\w.~])/(?:root|home|Users)/[\w.]+|(?<![\w.~])/work/(?:main|shared|brief)\b", text
    )
    return [f"names {path}; write it relative to the project" for path in found]


# Words with another meaning here (an entry is called by what it is; that check mark is a parasite).
# The name with `=` after it is a clock library's own keyword.
CHECK_MARK = re.compile(r"(?<![a-z])(?:un)?t" + r"ick(?:s|ed|ing)?(?![a-z]|=[TF])", re.IGNORECASE)
NOT_ON_PAGES = re.compile(
    r"\b(submit|sync|item|record|entry|entries|task|user|invalid)(s|ed|ting|ing)?\b", re.IGNORECASE
)
UNFINISHED = re.compile(r"\b(TO" + r"DO|FIX" + r"ME|XX" + r"X)\b")


def words_of_a_template(text: str) -> str:
    """What a person reads or hears: text, and the attributes that are read out."""
    text = re.sub(
        r"{%\s*comment.*?endcomment\s*%}|{#.*?#}|<!--.*?-->|<(script|style)\b.*?</\1>",
        " ",
        text,
        flags=re.DOTALL,
    )
    text = re.sub(r"{%.*?%}|{{.*?}}", " ", text, flags=re.DOTALL)
    spoken = re.findall(r"""\b(?:alt|title|aria-label|placeholder|content)\s*=\s*["']([^"']*)["']""", text)
    return " ".join([re.sub(r"<[^>]*>", " ", text), *spoken])


def words_of_code(text: str) -> str:
    """Sentences in code that words what a page or paper says: texts with a space that are no docstring."""
    tree = ast.parse(text)
    docs = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, (ast.Module, ast.ClassDef, ast.FunctionDef))
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    said = [
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs
    ]
    return "\n".join(each for each in said if " " in each.strip())


def banned_words(words: str) -> list[str]:
    """Words that no page says."""
    found = NOT_ON_PAGES.findall(words)
    return sorted({f"says {''.join(each)!r}; call it by what it is" for each in found}) + check_marks(words)


def check_marks(text: str) -> list[str]:
    """The word for a check mark that is an animal here."""
    return [f"says {found!r}; say check mark, done or crossed off" for found in CHECK_MARK.findall(text)]


def settings_read(text: str) -> set[str]:
    """Names that a settings file or do.py takes from the environment."""
    names = set()
    for call, name in calls(ast.parse(text)):
        if name in {"os.environ.get", "_yes", "chosen", "yes"} and call.args:
            names.add(_first_text(call.args[0]))
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Subscript) and dotted(node.value) == "os.environ":
            names.add(_first_text(node.slice))
    return names - {""}
