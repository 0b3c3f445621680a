"""Judging on several machines: a local cluster gives what this machine gives."""

from __future__ import annotations

import os
import sys

import pytest

from patternlib.assess.marking.command import assess_command

sys.path.insert(0, os.path.dirname(__file__))
import hostile

distributed = pytest.importorskip("distributed", reason="dask.distributed is not installed")


@pytest.mark.parametrize("processes", [False, pytest.param(True, marks=pytest.mark.slow)])
def test_a_cluster_judges_alike(tmp_path, processes):
    """Threads of one process, or workers in processes of their own: the same files to the byte."""
    handins = tmp_path / "in"
    handins.mkdir()
    for name, data in hostile.answers().items():
        (handins / name).write_bytes(data)
    assert assess_command([str(handins), "--out", str(tmp_path / "here"), "--workers", "1"]) == 0
    with distributed.LocalCluster(
        n_workers=2 if processes else 1, threads_per_worker=2, processes=processes, dashboard_address=None
    ) as cluster:
        command = [str(handins), "--out", str(tmp_path / "there"), "--scheduler", cluster.scheduler_address]
        assert assess_command(command) == 0
        assert cluster.scheduler.transition_counter > len(hostile.answers())  # the cluster did the work
    for path in (tmp_path / "here").rglob("*.*"):
        assert path.read_bytes() == (tmp_path / "there" / path.relative_to(tmp_path / "here")).read_bytes()
