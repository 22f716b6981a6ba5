"""What holds for every test: the same examples on every machine, unless others are asked for.

`HYPOTHESIS_PROFILE=search` looks for new ones; a failure then says how to repeat it.
"""

import os

from hypothesis import settings

settings.register_profile("same", derandomize=True, deadline=None, print_blob=True)
settings.register_profile("search", deadline=None, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "same"))
