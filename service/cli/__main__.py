"""`python -m service.cli`: the command, as installed."""

import sys

from service.cli.command import main

sys.exit(main())
