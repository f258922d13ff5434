"""Start any command from a fresh clone: ``python3 -m generator serve``.

Until the environment exists this file and ``bootstrap`` use the standard library alone.
"""

from generator.bootstrap import start

if __name__ == "__main__":
    raise SystemExit(start())
