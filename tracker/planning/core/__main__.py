import sys

from .stopping import listen

listen(sys.argv[1:])

from .cli import main  # noqa: E402

sys.exit(main())
