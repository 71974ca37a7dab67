"""The table of ratios: every stage beside its peer, goals judged by ratios alone."""

import pytest

from kit.cli import main
from kit.cli.bench import in_words
from kit.measure import Row
from kit.measure.timing import interleaved, ratio


def test_a_goal_is_met_by_the_ratio_and_not_by_the_clock():
    fast = Row("ours", "theirs", 1.4, 1.5, work_ms=9_000.0, peer_ms=1.0)
    slow = Row("ours", "theirs", 1.6, 1.5, work_ms=0.1, peer_ms=1.0)
    told = Row("ours", "theirs", 99.0, None, work_ms=1.0, peer_ms=1.0)

    assert (fast.is_met, slow.is_met, told.is_met) == (True, False, None)
    assert [line.split()[-1] for line in in_words([fast, slow]).splitlines()[2:]] == [
        "yes",
        "no",
    ]


def test_works_are_taken_in_turn():
    calls = []
    spent = interleaved({"a": lambda: calls.append("a"), "b": lambda: calls.append("b")}, 2)

    turns = "".join(calls).replace("aa", "a")
    while "aa" in turns or "bb" in turns:
        turns = turns.replace("aa", "a").replace("bb", "b")
    assert turns == "ababab"  # once to warm up and count, then two rounds
    assert all(len(times) == 2 for times in spent.values())


def test_a_ratio_is_taken_within_a_round():
    """A machine that slows down by ten in one round changes no ratio."""
    assert ratio([2.0, 20.0, 2.0], [1.0, 10.0, 1.0]) == 2.0


@pytest.mark.jit
@pytest.mark.picture
def test_bench_names_the_machine_and_judges_every_goal(capsys):
    assert main(["bench", "--quick"]) == 0

    said = capsys.readouterr().out
    for word in (
        "processor",
        "load",
        "absent peers",
        "recolour, above",
        "JPEG of the frame",
    ):
        assert word in said
    rows = [line for line in said.splitlines() if line.endswith(("yes", "no"))]
    assert len(rows) >= 6


def test_the_readme_names_the_bench(request):
    readme = (request.config.rootpath / "README.md").read_text(encoding="utf-8")

    assert "python -m kit bench" in readme


@pytest.mark.jit
def test_two_threads_are_left_out_where_no_second_core_is_free(monkeypatch):
    from kit.measure import threads

    monkeypatch.setattr(threads, "_sped_up", lambda _: 1.1)
    assert threads.waits(lambda: None, rounds=2) is None

    monkeypatch.setattr(threads, "_sped_up", lambda _: 2.0)
    monkeypatch.setitem(vars(threads._CONFIG), "NUMBA_NUM_THREADS", 2)
    if (clocked := threads.waits(lambda: None, rounds=2)) is not None:
        assert [len(times) for times in clocked] == [2, 2]
