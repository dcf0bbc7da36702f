"""Options of the commands about orders and chances."""

from __future__ import annotations

from typing import Annotated

import typer

Line = Annotated[str, typer.Option("--line", help="only this line of the plan, such as L019")]
Together = Annotated[
    bool, typer.Option("--together", help="the days to order all under the limits")
]
Confidence = Annotated[
    str, typer.Option("--confidence", help="how sure, 1 to 99 %; 80 if not given")
]
Samples = Annotated[str, typer.Option("--samples", help="how many futures; 10,000 if not given")]
