"""What is loaded for good is not gone over for garbage."""

import gc
import weakref

import pytest

from kit.loading import for_good


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
