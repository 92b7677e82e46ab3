"""`python -m api.command` is the command `sizewright`."""

import sys

from api.command.entry import main

sys.exit(main())
