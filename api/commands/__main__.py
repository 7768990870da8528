"""`python -m api.commands` is the command."""

from api.commands import main

main()
