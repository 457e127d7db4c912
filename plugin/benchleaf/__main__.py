"""``python -m benchleaf``: the same commands as ``benchleaf``."""

import sys

from .cli import main

sys.exit(main())
