"""The command line: `python -m calc COMMAND`; `python -m calc --help` lists the commands.

Exit: 0 done (a refused plan, a drum that is due, a lift that is not ready are results), 1 errors in the data, 2 wrong
call.
"""

import sys

from calc.cli.commands import main

if __name__ == "__main__":
    sys.exit(main())
