"""``make trust``: the longer checks of ``trust_*.py``; also as ``bench/trust.json``."""

from __future__ import annotations

import sys

from bench.run import HERE, main

if __name__ == "__main__":
    sys.exit(main("trust_", HERE / "trust.json", sys.argv[1:]))
