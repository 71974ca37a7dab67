"""Sleeping benchmarks: each beside a peer, to be read as a ratio within one run.

Wake them with ``python -m pytest tests/speed --benchmark-enable
--benchmark-group-by=group --benchmark-columns=median,rounds``.
"""

import itertools
import subprocess
import sys
import time

import pytest

from kit.job import Job, Pictures, workup

PX = {"width_px": 480, "height_px": 300}


@pytest.mark.benchmark(group="re-price", timer=time.process_time)
@pytest.mark.parametrize("what", ["workup", "parse the job from JSON (peer)"])
def test_pricing_a_job_again_beside_parsing_it(benchmark, demo_job, what):
    written = demo_job.model_dump_json(by_alias=True)
    run = (
        (lambda: workup(demo_job))
        if what == "workup"
        else (lambda: Job.model_validate_json(written))
    )

    assert benchmark(run) is not None


@pytest.mark.benchmark(group="risk", timer=time.process_time)
@pytest.mark.parametrize("what", ["risk of 100,000 floors", "their factors (peer)"])
def test_the_risk_of_a_floor_beside_a_bare_draw(benchmark, what):
    from kit.measure.works import Demo

    demo = Demo()
    benchmark(demo.risk() if what.startswith("risk") else demo.factors())


@pytest.mark.benchmark(group="import")
@pytest.mark.parametrize("module", ["kit", "numpy"])
def test_importing_the_kit_beside_importing_numpy(benchmark, module):
    command = [sys.executable, "-c", f"import {module}"]

    assert benchmark(lambda: subprocess.run(command, check=True).returncode) == 0


@pytest.mark.picture
@pytest.mark.benchmark(group="re-sheen", timer=time.process_time)
@pytest.mark.parametrize("view", ["above", "room", "JPEG of the frame (peer)"])
def test_another_finish_beside_encoding_the_frame(benchmark, demo_job, demo_workup, view):
    pictures = Pictures(demo_job.recipe, demo_workup.plan)
    if view in {"above", "room"}:
        sight = pictures.sight(view, **PX)
        coat = pictures.shelf.finish("satin")
        never_shown = (
            coat.model_copy(update={"gloss_gu": coat.gloss_gu + 1e-4 * n})
            for n in itertools.count()
        )
        shot = benchmark(lambda: sight.shown(pictures.paints, next(never_shown)))
        assert shot.rgb.shape == (PX["height_px"], PX["width_px"], 3)
        return
    shot = pictures.shown("above", "gloss", **PX)

    assert benchmark(shot.jpeg).startswith(b"\xff\xd8")
