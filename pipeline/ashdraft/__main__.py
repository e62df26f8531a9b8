"""`python -m ashdraft`: the same as the `ashdraft` command."""

from .cli import main

main()
