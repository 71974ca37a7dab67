"""Compiled kernels are kept apart for each state of the source."""

import ast
import importlib.util
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from kit import compiler, kernels, units
from kit.kernels import drawn_on, features, kept_in, kernel, kernels_place

KIT = Path(kernels.__file__).parent
SOURCES = {
    "room/noise.py": """\
\"\"\"A kernel would stand here.\"\"\"
from typing import TYPE_CHECKING

import kit.figures as figures
from kit.far.kernel import (
    stroke,
)
from kit.other import (
    lanes,
    slow as quick,
)

if TYPE_CHECKING:
    from kit.far.types import Words

def later():
    import kit.far.aside
""",
    "figures.py": "A = 1\n",
    "other/__init__.py": "",
    "other/lanes.py": "from kit.far import deep, N\n",
    "other/slow.py": "from kit.room.noise import A  # and round again\n",
    "other/unheard_of.py": "",
    "far/__init__.py": "N = 3\n",
    "far/kernel.py": "def stroke(): ...\n",
    "far/deep.py": "",
    "far/types.py": "",
    "far/aside.py": "",
}
DRAWN_ON = {
    "room/noise.py",
    "figures.py",
    "other/__init__.py",
    "other/lanes.py",
    "other/slow.py",
    "far/__init__.py",
    "far/kernel.py",
    "far/deep.py",
}


def forget():
    """As a process of its own would find the source."""
    for kept in (kept_in, kernels._read, kernels._file_of):
        kept.cache_clear()


@pytest.fixture
def package(tmp_path, monkeypatch):
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "cache"))
    package = tmp_path / "kit"
    monkeypatch.setattr(kernels, "_PACKAGE", package)
    for name, source in SOURCES.items():
        file = package / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(source, encoding="utf-8")
    forget()
    yield package
    forget()


@pytest.mark.parametrize("name", SOURCES)
def test_a_change_in_what_a_room_draws_on_leaves_the_old_kernels_behind(name, package):
    before = kept_in(package / "room")
    with (package / name).open("a", encoding="utf-8") as file:
        file.write("B = 2\n")
    forget()

    assert (kept_in(package / "room") != before) == (name in DRAWN_ON)


def test_a_module_beside_the_rooms_is_a_room_of_its_own(package):
    """Itself and what it imports, not all that lies about it."""
    (package / "lane.py").write_text("import kit.figures\n", encoding="utf-8")

    assert drawn_on(package / "lane.py") == {
        str(package / "lane.py"), str(package / "figures.py"),
    }  # fmt: skip
    assert kept_in(package / "lane.py").name.startswith("lane-")


def test_the_same_source_finds_its_kernels_again(package):
    before = kept_in(package / "room")
    forget()

    assert kept_in(package / "room") == before


def test_a_copy_elsewhere_finds_what_another_has_compiled(tmp_path, monkeypatch):
    """As an installed kit finds what was compiled from a clone of the same commit."""
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "cache"))
    found = []
    for place in ("clone", "installed"):
        file = tmp_path / place / "room" / "lane.py"
        file.parent.mkdir(parents=True)
        file.write_text(
            "from kit.kernels import kernel\n@kernel()\ndef twice(x):\n    return 2 * x\n"
        )
        spec = importlib.util.spec_from_file_location("lane", file)
        lane = importlib.util.module_from_spec(spec)
        monkeypatch.setitem(sys.modules, "lane", lane)
        spec.loader.exec_module(lane)
        assert lane.twice(21) == 42
        found.append(sum(lane.twice.stats.cache_hits.values()))
        kernels._room_of.cache_clear()

    assert found == [0, 1]


def test_the_environment_may_move_them(package):
    assert kernels_place() == Path(package.parent / "cache")
    assert kept_in(package / "room").parent == kernels_place()


def imported_by(file):
    """Files of the kit that Python's own parser finds imported at module level."""
    for line in ast.parse(file.read_bytes()).body:
        names = []
        if isinstance(line, ast.Import):
            names = [name.name for name in line.names]
        elif isinstance(line, ast.ImportFrom):
            names = [line.module, *(f"{line.module}.{name.name}" for name in line.names)]
        for name in names:
            first, *rest = name.split(".")
            if first == "kit":
                place = KIT.joinpath(*rest)
                both = place.with_suffix(".py"), place / "__init__.py"
                yield from (file for file in both if file.is_file())


@pytest.mark.parametrize("room", ["pour", "look", "measure"])
def test_a_room_draws_on_what_pythons_own_parser_finds_imported(room):
    found, waiting = set(), {*(KIT / room).rglob("*.py")}
    while waiting:
        found.add(file := waiting.pop())
        waiting.update(set(imported_by(file)) - found)

    assert drawn_on(KIT / room) == {str(file) for file in found}


def test_an_edit_of_how_a_floor_is_walked_does_not_compile_how_it_is_seen():
    walk = str(KIT / "pour" / "walk.py")

    assert walk in drawn_on(KIT / "measure")
    assert walk not in drawn_on(KIT / "look")


def test_the_kits_own_kernels_are_kept_there():
    from kit.pour.noise import noise

    assert "pour-" in noise._cache.cache_path
    assert "units-" in kernel()(units.square_feet)._cache.cache_path


@pytest.mark.parametrize(
    ("host", "added"),
    [
        ("+avx2,-avx512f", ""),
        ("+avx512f,-avx512vbmi2", ""),
        ("+avx512f,+avx512vbmi2", ",-prefer-256-bit"),
        ("+avx512f,+avx512vbmi2,-prefer-256-bit", ""),
    ],
)
def test_vectors_are_full_width_only_where_they_keep_the_clock_rate(host, added):
    assert features(host) == host + added


def told_by(code):
    """What a Python of its own prints, line by line."""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    return done.stdout.splitlines()


@pytest.mark.jit
def test_what_no_kernel_needs_is_left_out_of_the_start_and_can_be_had_later():
    told = told_by(
        "import gc, sys, numpy, kit.kernels, numba\n"
        "print({'scipy', 'yaml', 'coverage'} & set(sys.modules), gc.isenabled())\n"
        "dot = numba.njit(lambda a: numpy.dot(a, a))\n"
        "print(dot(numpy.eye(2) + 1).tolist())\n"
    )

    assert told == ["set() True", "[[5.0, 4.0], [4.0, 5.0]]"]


@pytest.mark.jit
def test_a_kernel_that_is_kept_is_loaded_without_what_would_compile_it():
    """What it was made from is read when another is compiled that calls it."""
    code = (
        "import sys, numba\n"
        "from kit.look.optics import fresnel\n"
        "alone = fresnel(0.5, 1.5)\n"
        "readied = {'numba.np.arrayobj', 'numba.cpython.mathimpl'} & set(sys.modules)\n"
        "print(readied or 'nothing')\n"
        "twice = numba.njit(lambda cos: 2.0 * fresnel(cos, 1.5))\n"
        "print(twice(0.5) == 2.0 * alone)\n"
    )
    told_by(code)

    assert told_by(code) == ["nothing", "True"]


@pytest.mark.parametrize("kind", ["f4", "f8", "i4", "i8", "u1", "u2", "u4", "?"])
def test_arrays_have_the_types_that_numba_gives_them(kind):
    """In any layout and readable only; what is masked is refused by numba itself."""
    numba = pytest.importorskip("numba")
    flat = np.zeros((4, 6), kind)
    fixed = flat.copy()
    fixed.flags.writeable = False
    for array in (flat, flat.T, flat[::2, ::2], flat[:, 0], fixed):
        given, theirs = compiler._type_of(array, None), compiler._type_of_any(array, None)
        assert given == theirs
        assert given.mutable == theirs.mutable
        assert numba.typeof(array) == theirs
    with pytest.raises(numba.NumbaTypeError, match="Masked"):
        compiler._type_of(np.ma.zeros(3, kind), None)


@pytest.mark.jit
def test_kernels_are_compiled_for_the_features_that_are_chosen():
    told = told_by(
        "import kit.pour.noise, kit.kernels as kernels, llvmlite.binding as llvm\n"
        "from numba.core.registry import cpu_target\n"
        "host = llvm.get_host_cpu_features().flatten()\n"
        "_, _, chosen = cpu_target.target_context.codegen().magic_tuple()\n"
        "print(chosen == kernels.features(host))\n"
    )

    assert told == ["True"]


@pytest.mark.parametrize(("asked", "told"), [(None, "passive"), ("active", "active")])
def test_threads_that_wait_sleep_unless_told_otherwise(asked, told):
    """Spinning ones take the processor from the browser beside them."""
    environment = {k: v for k, v in os.environ.items() if k != "OMP_WAIT_POLICY"}
    if asked:
        environment["OMP_WAIT_POLICY"] = asked
    code = "import os, kit.kernels; print(os.environ['OMP_WAIT_POLICY'])"
    says = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True, text=True, check=True, env=environment,
    )  # fmt: skip
    assert says.stdout.strip() == told
