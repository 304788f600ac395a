"""Benchmarks are run by hand (``python tests/bench/run.py``); a clock is no judge of what is right."""

collect_ignore_glob = ["*.py"]
