"""What is loaded for good is not searched for garbage; some waits until it is asked."""

import gc
import sys
import weakref

import pytest

from kit.loading import for_good, put_off


class Knot:
    """Garbage that only a search finds."""

    def __init__(self):
        self.itself = self


@pytest.fixture(autouse=True)
def searched():
    gc.collect()
    yield
    gc.enable()


def test_nothing_is_searched_while_it_lasts_and_what_came_is_old():
    with for_good():
        inside = gc.isenabled()
        kept = [[] for _ in range(1_000)]

    assert not inside
    assert gc.isenabled()
    assert not any(one is kept for one in gc.get_objects(generation=0))
    assert any(one is kept for one in gc.get_objects(generation=2))


def test_garbage_that_was_there_is_found_later():
    knot = Knot()
    seen = weakref.ref(knot)
    with for_good():
        del knot
    gc.collect()

    assert seen() is None
    assert gc.get_freeze_count() == 0


def test_what_a_caller_chose_of_the_search_stays_chosen():
    gc.disable()
    with for_good():
        pass

    assert not gc.isenabled()


def test_a_fault_on_the_way_leaves_the_search_on():
    with pytest.raises(ImportError), for_good():
        raise ImportError

    assert gc.isenabled()


@pytest.fixture
def fresh(tmp_path, monkeypatch):
    """A module that nobody has loaded yet."""
    (tmp_path / "larder.py").write_text("def jam(pots=1):\n    return pots\n\nSHELF = 3\n")
    monkeypatch.syspath_prepend(tmp_path)
    yield "larder"
    sys.modules.pop("larder", None)


def test_what_is_put_off_is_loaded_when_it_is_called(fresh):
    with put_off(fresh, "jam"):
        from larder import jam
    unloaded = fresh not in sys.modules

    assert unloaded
    assert jam(pots=2) == 2
    assert sys.modules[fresh].__file__


def test_what_is_put_off_is_loaded_at_once_for_another_name(fresh):
    with put_off(fresh, "jam"):
        from larder import SHELF
    import larder

    assert SHELF == 3
    assert larder.jam() == 1


def test_what_is_there_already_is_not_put_off(fresh):
    import larder

    with put_off(fresh, "jam"):
        assert sys.modules[fresh] is larder
    assert sys.modules[fresh] is larder
