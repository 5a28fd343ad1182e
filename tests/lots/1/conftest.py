"""The scripts here made the kept lots once, with format 1's code; no test run may collect them."""

collect_ignore_glob = ["*.py"]
