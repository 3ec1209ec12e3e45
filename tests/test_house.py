"""The house rules, read from the sources: which way imports go, one door per library, sizes, no traces of a machine."""

import ast
import re
import subprocess
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from statistics import median, quantiles

import pytest
from tiers import LATER

ROOT = Path(__file__).parent.parent
FLOORS = ("geometry", "optimizer", "studies")  # a floor may import from itself and from those before it
ROOMS = (
    "geometry.files",
    "geometry.curves",
    "geometry.stock",
    "geometry.coils",
    "geometry.machine",
    "geometry.fit",
    "geometry.drawing",
    "geometry.writers",
    "geometry.parts",
    "optimizer.numerics",
    "optimizer.jobs",
    "optimizer.field",
    "optimizer.evaluation",
    "optimizer.circuit",
    "optimizer.loads",
    "optimizer.brief",
    "optimizer.scan",
    "optimizer.bounds",
    "optimizer.search",
    "optimizer.surveys",
    "optimizer.rigs",
    "optimizer.motors",
    "optimizer.words",
    "optimizer.documents",
    "optimizer.starters",
    "optimizer.plots",
    "optimizer.charts",
    "optimizer.building",
    "optimizer.reports",
    "optimizer.packs",
    "optimizer.answers",
    "optimizer.page",
    "optimizer.terminal",
    "optimizer.commands",
)  # a room imports only from itself and from those before it
MOST_MODULES = 16  # in one folder
LONGEST_FILE, LONGEST_FUNCTION, MEDIAN_FUNCTION = 400, 30, 8

# library: the files that may import it
DOORS = {
    "magpylib": {"optimizer/field/magpylib_field.py"},
    "scipy.optimize": {"optimizer/search/local_optimisation.py"},
    "clarabel": {"optimizer/bounds/conic.py"},
    "ezdxf": {"geometry/writers/dxf.py"},
    "reportlab": {"geometry/writers/pdf.py"},
    "manifold3d": {"geometry/parts/meshes.py"},
    "pydantic": {"geometry/files/key_tables.py", "optimizer/jobs/journal.py"},
    "pydantic_core": {"geometry/files/key_tables.py"},
    "tomlkit": {"geometry/files/writing.py"},
    "rich": {"optimizer/terminal/answer.py"},
    "jinja2": {"optimizer/reports/pages.py", "optimizer/reports/report.py"},
    "ngsolve": {"studies/steel_plate/finite_elements.py"},
    "netgen": {"studies/steel_plate/finite_elements.py"},
    # the PDF writer borrows its fonts
    "matplotlib": {"optimizer/plots/style.py", "geometry/writers/pdf.py"},
}
COMMAND_LINE = "click"  # the command line is cli.py and the rooms terminal and commands
PASSERS_BY = {"pydantic_core": "pydantic", "netgen": "ngsolve"}  # comes with
EXTRAS = ("fem",)  # optional dependencies that studies may ask for
TEXT = {
    ".py",
    ".md",
    ".toml",
    ".html",
    ".css",
    ".js",
    ".txt",
    ".cfg",
    ".ini",
    ".yml",
    ".yaml",
    ".json",
    ".svg",
}
NOT_OURS = {
    ".git",
    ".venv",
    "venv",
    "__pycache__",
    "dist",
    "build",
    "node_modules",
    ".hypothesis",
    ".benchmarks",
}


def sources() -> list[Path]:
    """Every Python file of the three floors."""
    return sorted(path for floor in FLOORS for path in (ROOT / floor).rglob("*.py"))


def name_of(path: Path) -> str:
    """Dotted module name."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def imports(tree: ast.AST) -> tuple[str, ...]:
    """Dotted names of all that a piece of source imports, wherever it does; `from a import b` gives a and a.b."""
    return tuple(names_imported(tree))


def names_imported(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@cache
def parsed(path: Path) -> ast.Module:
    """The syntax tree."""
    return ast.parse(path.read_text("utf-8"))


def test_imports_go_one_way():
    wrong = [
        f"{name_of(path)} imports {name}"
        for path in sources()
        for name in imports(parsed(path))
        for above in FLOORS[FLOORS.index(path.relative_to(ROOT).parts[0]) + 1 :]
        if name.split(".")[0] == above
    ]
    assert not wrong


def room_of(module: str) -> str:
    """The room of a module; of a floor's own face and door, the floor."""
    floor, *inside = module.split(".")
    room = ".".join([floor, *inside[:1]])
    return room if room in ROOMS else floor


def test_rooms_import_only_from_rooms_before_them():
    rooms = {name_of(path): room_of(name_of(path)) for path in sources()}
    backwards = [
        f"{module} imports {name}"
        for module, names in import_graph().items()
        for name in names
        if rooms[module] in ROOMS and rooms[name] in ROOMS
        if ROOMS.index(rooms[name]) > ROOMS.index(rooms[module])
    ]
    assert not backwards


def test_rooms_use_of_each_other_what_they_export():
    """A room's `__all__` is the modules that other rooms and studies import, no more and no fewer."""
    used = {
        (room_of(name), name.rsplit(".", 1)[-1])
        for module, names in import_graph().items()
        for name in names
        if room_of(name) in ROOMS and room_of(name) != room_of(module) and name not in ROOMS
    }
    assert used == {(room, name) for room in ROOMS for name in exports(room)}


def exports(room: str) -> list[str]:
    """The modules in a room's `__all__`."""
    tree = parsed(ROOT / room.replace(".", "/") / "__init__.py")
    lists = [
        node.value
        for node in tree.body
        if isinstance(node, ast.Assign) and [ast.unparse(to) for to in node.targets] == ["__all__"]
    ]
    return ast.literal_eval(lists[0]) if lists else []


def test_every_module_has_its_room():
    assert {name_of(path) for path in sources() if room_of(name_of(path)) in FLOORS[:2]} == {
        "geometry", "optimizer", "optimizer.cli",
    }  # fmt: skip


def test_no_folder_is_a_corridor():
    folders = Counter(path.parent for path in sources() if path.stem != "__init__")
    assert {path.name: count for path, count in folders.items() if count > MOST_MODULES} == {}


def test_each_room_says_what_is_in_it():
    guide = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    rows = re.findall(r"^\| `((?:geometry|optimizer)/\w+)/` \| (.+?) \|", guide, re.M)
    said = [(room.replace("/", "."), sentence) for room, sentence in rows]
    assert said == [(room, sentence_of(room)) for room in ROOMS]


def sentence_of(room: str) -> str:
    """The first paragraph of a room's docstring, without the room's name."""
    text = ast.get_docstring(parsed(ROOT / room.replace(".", "/") / "__init__.py")) or ""
    return " ".join(text.split("\n\n")[0].split()).partition(": ")[2]


def test_a_strangers_questions_have_answers():
    guide = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    answers = re.findall(r"^\| Where is (.+)\? \| `(.+)` \|", guide, re.M)
    assert len(answers) >= 12
    assert not [(question, path) for question, path in answers if not (ROOT / path).is_file()]


def test_names_of_modules_and_public_classes_stand_for_one_thing():
    ours = [path for path in sources() if path.parts[len(ROOT.parts)] != "studies"]
    modules = Counter(path.stem for path in ours if path.stem != "__init__" and path.parent.name != "commands")
    classes = Counter(
        node.name
        for path in ours
        for node in parsed(path).body
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_")
    )
    assert not [name for name, count in (modules + classes).items() if count > 1]


def test_no_tests_in_the_product():
    assert not [
        path
        for path in sources()
        if any(name.split(".")[0] in ("tests", "pytest") for name in imports(parsed(path)))
    ]


def import_graph() -> dict[str, set[str]]:
    """Which of our modules import which, inside functions too."""
    ours = {name_of(path): path for path in sources()}
    return {
        module: {name for name in imports(parsed(path)) if name in ours} - {module}
        for module, path in ours.items()
    }


def cycle(graph: dict[str, set[str]]) -> list[str]:
    """One loop of the graph, or nothing."""
    done: set[str] = set()

    def walk(module: str, way: list[str]) -> list[str]:
        if module in way:
            return [*way[way.index(module) :], module]
        if module in done:
            return []
        found = next(filter(None, (walk(name, [*way, module]) for name in sorted(graph[module]))), [])
        done.add(module)
        return found

    return next(filter(None, (walk(module, []) for module in sorted(graph))), [])


def test_no_import_loops():
    assert cycle({"a": {"b"}, "b": {"c"}, "c": {"b"}}) == ["b", "c", "b"]
    assert not cycle(import_graph())


@pytest.mark.parametrize("library", DOORS)
def test_each_library_has_its_door(library: str):
    users = {
        path.relative_to(ROOT).as_posix()
        for path in sources()
        if any(name == library or name.startswith(library + ".") for name in imports(parsed(path)))
    }
    assert users <= DOORS[library]
    assert users, f"nothing imports {library} any more"


def test_the_command_line_has_its_rooms():
    users = {path.parent.name for path in sources() if COMMAND_LINE in set(imports(parsed(path)))}
    assert users <= {"optimizer", "terminal", "commands"}


def named(requirements: list[str]) -> set[str]:
    """Names of the libraries that are asked for."""
    return {text.split(">")[0].split("=")[0].split("[")[0].strip().lower() for text in requirements}


def test_every_library_is_declared():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    asked = project["project"]["optional-dependencies"]
    extras = named([text for extra in EXTRAS for text in asked[extra]])
    declared = named(project["project"]["dependencies"])
    used = {name.split(".")[0] for path in sources() for name in imports(parsed(path))}
    foreign = {PASSERS_BY.get(name, name) for name in used - set(sys.stdlib_module_names) - set(FLOORS)}
    assert foreign <= declared | extras
    assert (declared | extras) - foreign == set()


def test_packages_are_listed():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    packages = project["tool"]["hatch"]["build"]["targets"]["wheel"]["packages"]
    assert {"geometry", "optimizer"} <= set(packages) <= set(FLOORS)
    assert "tests" not in packages


def test_there_is_one_conversion_of_speed():
    once = re.compile(r"\bpi / (30|60)\b|\b(30|60) / \(?(2 \* )?(np\.)?pi\b|/ 60 \* (2 \* )?(np\.)?pi\b")
    assert [
        path.name for path in sources() if once.search(path.read_text("utf-8")) and "studies" not in path.parts
    ] == ["speed.py"]


def test_a_winding_answers_for_itself():
    """Levels, coils, shares and names are asked of the layout; hardly anything asks which kind of winding it is."""
    asked = {path.name: path.read_text("utf-8").count(".concentrated") for path in sources()}
    assert sum(asked.values()) <= 20, {name: count for name, count in asked.items() if count}


def test_files_are_short():
    lines = {
        path.relative_to(ROOT).as_posix(): len(path.read_text("utf-8").splitlines()) for path in sources()
    }
    assert {name: count for name, count in lines.items() if count >= LONGEST_FILE} == {}


def function_lengths() -> dict[str, int]:
    """Lines of every function, from its `def` to its end."""
    return {
        f"{name_of(path)}.{node.name}:{node.lineno}": (node.end_lineno or node.lineno) - node.lineno + 1
        for path in sources()
        for node in ast.walk(parsed(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    }


def test_functions_are_short():
    lengths = function_lengths()
    long = {name: count for name, count in lengths.items() if count >= LONGEST_FUNCTION}
    assert median(lengths.values()) < MEDIAN_FUNCTION, long
    assert quantiles(lengths.values(), n=10)[-1] < LONGEST_FUNCTION, long
    assert len(long) <= 0.02 * len(lengths), long


def test_public_things_say_what_they_are():
    silent = [
        f"{name_of(path)}.{node.name}"
        for path in sources()
        for node in parsed(path).body
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_")
        if ast.get_docstring(node) is None
    ]
    assert not silent


NUMBERS = re.compile(r"\b(float|Real|Complex|NDArray|ArrayLike|Corners)\b")
ARRAYS = re.compile(r"\b(Real|Whole|Complex|Truth|NDArray|ArrayLike|Corners|Triangles)\b")
UNITS = (
    " m mm µm m² mm² m³ mm³ g kg s ms h rpm rad ° degrees V mV A mA W mW J Ω mΩ H mH F T mT N Hz °C K Pa MPa Wb V² A² "
    "Ω² volts amps ohms watts millimetres metres inches pt seconds % SI "
)
UNITLESS = (
    " share shares ratio ratios fraction factor factors relative number count turns times index indices unit units "
)
AXIS = r"(?:[A-Z][A-Z0-9]*′?|\d|…|[a-z_.]+)(?: [+−] [\da-z]+)?"  # its length
SHAPE = re.compile(
    rf"\({AXIS},\)|\((?=[^)]*[A-Z\d…+]){AXIS}(?:, {AXIS})+\)|[Ss]hape of|(?:any|same) shape|scalar|broadcast"
)


def says_unit(text: str) -> bool:
    """Whether a docstring names a unit, or says that there is none; shapes and the article A are no units."""
    words = re.findall(r"[^\W_°]+'?[^\W_]*|[°%]C?", re.sub(r"(^|\.\s+)A ", " ", SHAPE.sub(" ", text)))
    return any(f" {word} " in UNITS or f" {word.lower()} " in UNITLESS for word in words)


def public_things() -> Iterator[tuple[str, str, str]]:
    """Name, annotations and docstring of all that is public; commands and tables of files give units to users."""
    ours = [path for path in sources() if path.parts[len(ROOT.parts)] != "studies"]
    classes = {node.name: node for path in ours for node in parsed(path).body if isinstance(node, ast.ClassDef)}
    for path in ours:
        for node in parsed(path).body:
            if isinstance(node, ast.ClassDef) and "Table" not in " ".join(map(ast.unparse, node.bases)):
                methods = [part for part in node.body if isinstance(part, ast.FunctionDef)]
                own = [(node, ast.get_docstring(node)), *((part, lent(node, part, classes)) for part in methods)]
            elif isinstance(node, ast.FunctionDef) and not commanded(node):
                own = [(node, ast.get_docstring(node))]
            else:
                continue
            for part, text in own:
                if not node.name.startswith("_") and not part.name.startswith("_"):
                    yield f"{name_of(path)}:{part.lineno} {part.name}", annotations(part), text or ""


def commanded(function: ast.FunctionDef) -> bool:
    """Whether a function is a command, whose docstring users read."""
    return any("command(" in ast.unparse(mark) for mark in function.decorator_list)


def lent(owner: ast.ClassDef, member: ast.FunctionDef, classes: dict[str, ast.ClassDef]) -> str | None:
    """The docstring of a member; where it has none, or sees to another class, that of the same member there."""
    text = ast.get_docstring(member)
    if text and not text.startswith("See `"):
        return text
    named = re.findall(r"`(\w+)`", text) if text else [ast.unparse(base).split("[")[0] for base in owner.bases]
    for elder in (classes[name] for name in named if name in classes):
        same = [part for part in elder.body if isinstance(part, ast.FunctionDef) and part.name == member.name]
        if (same or not text) and (said := lent(elder, (same or [member])[0], classes)):
            return said
    return None


def annotations(node: ast.ClassDef | ast.FunctionDef) -> str:
    """Of a class's fields, or of a function's parameters and what it returns."""
    if isinstance(node, ast.ClassDef):
        return " ".join(ast.unparse(part.annotation) for part in node.body if isinstance(part, ast.AnnAssign))
    parts = [part.annotation for part in ast.walk(node.args) if isinstance(part, ast.arg)]
    return " ".join(ast.unparse(part) for part in [*parts, node.returns] if part)


def test_a_unit_is_known_from_an_article_and_an_axis():
    assert all(map(says_unit, ["Current of a phase, A.", "Constant, V/(rad/s).", "Share of it.", "At `speed_rpm`."]))
    assert not any(map(says_unit, ["A magnet's harmonics, (K,).", "All. A phase's own."]))
    assert all(map(SHAPE.search, ["EMFs (M, N + 1), V.", "Positions (turns,).", "In m, any shape."]))
    assert not any(map(SHAPE.search, ["Harmonics (odd, few).", "Voltage (V)."]))


def test_numbers_have_units():
    """What holds, takes or gives numbers names a unit of them, or says that they have none."""
    assert not [name for name, kinds, text in public_things() if NUMBERS.search(kinds) and not says_unit(text)]


def test_arrays_have_shapes():
    """What holds, takes or gives arrays gives a shape of them, or says that any will do."""
    assert not [name for name, kinds, text in public_things() if ARRAYS.search(kinds) and not SHAPE.search(text)]


def texts() -> Iterator[tuple[str, str]]:
    """Name and content of every text file of the tree."""
    for path in sorted(ROOT.rglob("*")):
        inside = path.relative_to(ROOT)
        hidden = any(part.startswith(".") for part in inside.parts)
        if path.is_file() and path.suffix in TEXT and not hidden and not NOT_OURS & set(inside.parts):
            yield inside.as_posix(), path.read_text("utf-8", errors="replace")


def test_no_machine_paths():
    homes = ["/" + place for place in ("home/", "root/", "Users/", "work/", "tmp/", "mnt/")] + ["C:" + "\\"]
    found = {
        f"{name}: {line.strip()[:80]}"
        for name, text in texts()
        for home in homes
        if home in text
        for line in text.splitlines()
        if f" {home}" in line or f'"{home}' in line or f"`{home}" in line or line.startswith(home)
    }
    assert not found


def test_the_linter_has_nothing_to_say():
    command = [sys.executable, "-m", "ruff", "check", "--quiet", "--no-cache", "."]
    said = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert said.stdout == ""


SEARCHES = {"optimize", "optimize_for_load", "pareto_front", "compare_like_for_like", "searched"}


def test_what_searches_is_marked():
    """No test of the quick tier searches, but those for briefs that are refused at once."""
    unmarked = [
        f"{path.relative_to(ROOT)}::{test.name}"
        for path in sorted((ROOT / "tests").rglob("test_*.py"))
        for tree in [parsed(path)]
        if "pytestmark" not in {ast.unparse(part).split(" ")[0] for part in tree.body if isinstance(part, ast.Assign)}
        for test in tree.body
        if isinstance(test, ast.FunctionDef) and test.name.startswith("test_") and not marked(test)
        if SEARCHES & {called for part in ast.walk(test) if (called := name_called(part))}
    ]
    assert unmarked == []


def marked(test: ast.FunctionDef) -> bool:
    """Whether a test has a mark that leaves it to the full tier, or sees its search refused."""
    written = ast.unparse(test)
    return any(f"mark.{mark}" in written for mark in (*LATER, "benchmark")) or "pytest.raises(NothingFits" in written


def name_called(part: ast.AST) -> str:
    return part.func.id if isinstance(part, ast.Call) and isinstance(part.func, ast.Name) else ""


TELLING = {"geometry.files", "geometry.writers", "optimizer.words", "optimizer.terminal", "optimizer.commands"}
SAID_WHERE_IT_IS = {
    # what a file of each kind is, in its schema
    "geometry/machine/layout_file.py",
    "optimizer/brief/brief.py",
    "optimizer/loads/load_file.py",
    "optimizer/rigs/rig_file.py",
}


def sentences(tree: ast.Module) -> Iterator[str]:
    """String literals of four words or more that end as a sentence does, but for docstrings and what is raised."""
    todo: list[ast.AST] = [tree]
    while todo:
        node = todo.pop()
        docstring = isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
        if docstring or isinstance(node, ast.Raise):
            continue
        if isinstance(node, ast.Call) and getattr(node.func, "id", "").endswith(("Fault", "Error")):
            continue
        text = ast.unparse(node)[:-1] if isinstance(node, ast.JoinedStr) else ""
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = node.value
        if text:
            if len(re.findall(r"[A-Za-z]{2,}", text)) >= 4 and text.rstrip().endswith("."):
                yield text
            continue
        todo += ast.iter_child_nodes(node)


def test_sentences_for_people_live_with_the_words():
    """In a room of words, of what a program prints, or in a room's own file of words."""
    told = {
        path.relative_to(ROOT).as_posix(): list(sentences(parsed(path)))
        for path in sources()
        if room_of(name_of(path)) in set(ROOMS) - TELLING and not path.stem.endswith("_words")
    }
    assert {name for name, texts in told.items() if texts} == SAID_WHERE_IT_IS


def test_a_sentence_is_known_from_a_docstring_and_a_fault():
    assert list(sentences(ast.parse('def f():\n    return f"This is what {you} are told."')))
    silent = '"""A docstring that says so."""\nraise ValueError("this must be some other number.")'
    assert not list(sentences(ast.parse(silent)))
