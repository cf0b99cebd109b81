"""The floors of the house, checked by reading imports: who may know whom."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import trainer

PACKAGE = Path(trainer.__file__).parent
ROOT = PACKAGE.parent

COACH = {"coach", "drill", "quiz", "memory", "records", "rhythm", "authoring", "paths", "plain"}
"""The coach sees every floor beneath."""

MAY_IMPORT = {
    "drill": {"drill"},
    "memory": {"memory"},
    "records": {"records"},
    "authoring": {"authoring", "drill", "paths", "plain"},
    "quiz": {"quiz", "drill"},
    "rhythm": {"rhythm", "drill"},
    "coach": COACH,
    "sponsor": COACH | {"sponsor"},
    "group": COACH | {"group"},
    "report": COACH | {"sponsor", "group", "report"},
    "screens": COACH | {"sponsor", "group", "report", "screens"},
    "cli": COACH | {"sponsor", "group", "report", "screens", "cli"},
    "paths": set(),
    "plain": set(),
}
"""What each part may import of the package: the ground floor sees nobody, the coach sees the floors beneath."""

UI = {"textual", "rich"}
CHECKERS = {"pydantic"}
ALLOWED_PYDANTIC = {f"authoring/{name}.py" for name in ("written", "complaints", "reading", "schema", "tables")}


def modules() -> list[Path]:
    return sorted(path for path in PACKAGE.rglob("*.py") if path.parent != PACKAGE or path.stem != "__init__")


def imported(path: Path) -> set[str]:
    """Return every dotted name that a file imports, wherever in the file."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name} imports relatively; imports name the whole path here"
            module = node.module or ""
            found |= {f"{module}.{alias.name}" for alias in node.names}
    return found


def part_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_each_part_knows_only_the_floors_beneath(path: Path) -> None:
    part = part_of(path)
    own = {name.split(".")[1] for name in imported(path) if name.startswith("trainer.")} - {"__version__"}
    assert part in MAY_IMPORT, f"{part} has no floor yet: give it one in this test and in DEVELOPERS.md"
    assert own <= MAY_IMPORT[part], f"{part} must not know {sorted(own - MAY_IMPORT[part])}"


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_textual_stays_in_the_screens_and_pydantic_at_the_door(path: Path) -> None:
    roots = {name.split(".")[0] for name in imported(path)}
    if part_of(path) != "screens":
        assert not roots & UI, "below the screens nothing draws"
    if str(path.relative_to(PACKAGE)) not in ALLOWED_PYDANTIC:
        assert not roots & CHECKERS, "pydantic checks what comes from outside, nothing else"


def test_no_screen_calls_the_handler_of_its_base() -> None:
    """Textual calls the handlers of an event in every class from the screen's own up; one called again acts twice."""
    for path in modules():
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Attribute) and node.attr.lstrip("_").startswith("on_"):
                called = node.value.func if isinstance(node.value, ast.Call) else None
                again = isinstance(called, ast.Name) and called.id == "super"
                assert not again, f"{path.relative_to(PACKAGE)}, line {node.lineno}: super().{node.attr}"


def test_only_one_file_knows_where_things_are_kept() -> None:
    for path in modules():
        text = path.read_text("utf-8")
        if path.name != "paths.py":
            assert "platformdirs" not in text, path
            assert "os.environ" not in text or path.name == "main.py", path


@pytest.mark.parametrize(
    "verb",
    [
        ["--version"],
        ["--help"],
        ["deck", "list"],
        ["readiness", "--demo", "--json"],
        ["doctor"],
        ["group"],
        ["roster", "--demo"],
    ],
)
def test_verbs_that_draw_nothing_load_no_screen_and_no_checker(verb: list[str], tmp_path: Path) -> None:
    """With the deck cache warm, neither textual nor pydantic is imported."""
    code = (
        "import sys\nfrom trainer.cli.main import main\n"
        "try:\n    main(sys.argv[1:])\nexcept SystemExit:\n    pass\n"
        "sys.stderr.write(' '.join(sorted({name.split('.')[0] for name in sys.modules})))"
    )
    home = {"STEPCALL_HOME": str(tmp_path), "PATH": "", "PYTHONPATH": str(ROOT)}
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-c", code, *verb], env=home, capture_output=True, text=True, timeout=60, check=False
        )
        assert done.returncode == 0, done.stderr
    loaded = set(done.stderr.split())
    assert not {"textual", "rich", "pydantic", "tomllib"} & loaded
