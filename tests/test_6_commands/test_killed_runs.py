"""A run that is killed at any moment leaves the earlier output or the new one, and the next run puts the rest right."""

from killed_runs import kill_runs


def test_whatever_moment_a_run_is_killed_at_the_output_is_whole(tmp_path):
    told = kill_runs(tmp_path, runs=6)
    assert sum(told.out.values()) == 6
