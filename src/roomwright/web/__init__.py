"""The pages: they parse a request, run a command or take an answer, and render."""
