"""Compiled kernels are kept apart for each state of the source."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from kit import compiler
from kit.kernels import features, kept_in, kernels_place


@pytest.fixture
def room(tmp_path, monkeypatch):
    monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path / "cache"))
    kept_in.cache_clear()
    room = tmp_path / "room"
    room.mkdir()
    (room / "noise.py").write_text("A = 1\n", encoding="utf-8")
    yield room
    kept_in.cache_clear()


def test_a_change_in_any_file_of_the_room_leaves_the_old_kernels_behind(room):
    before = kept_in(room)
    (room / "noise.py").write_text("A = 2\n", encoding="utf-8")
    kept_in.cache_clear()

    assert kept_in(room) != before


def test_the_same_source_finds_its_kernels_again(room):
    before = kept_in(room)
    kept_in.cache_clear()

    assert kept_in(room) == before


def test_the_environment_may_move_them(room):
    assert kernels_place() == Path(room.parent / "cache")
    assert kept_in(room).parent == kernels_place()


def test_the_kits_own_kernels_are_kept_there():
    from kit.pour.noise import noise

    assert "pour-" in noise._cache.cache_path


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
