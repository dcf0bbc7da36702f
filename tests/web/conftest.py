"""What the tests of the pages share."""

import warnings

with warnings.catch_warnings():  # starlette would like the successor of httpx; ours is enough
    warnings.simplefilter("ignore", DeprecationWarning)
    warnings.simplefilter("ignore", UserWarning)
    import starlette.testclient  # noqa: F401
