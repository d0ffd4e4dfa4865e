"""``python -m reedwright``: the same entry as the console script."""

import sys

from reedwright.cli.main import main

if __name__ == "__main__":
    sys.exit(main())
