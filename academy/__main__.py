"""``python -m academy``: the same as the command ``academy``."""

import sys

from academy.web.cli import main

sys.exit(main())
