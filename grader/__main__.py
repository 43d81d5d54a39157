"""`python -m grader`."""

import sys

from grader.cli import main

sys.exit(main())
