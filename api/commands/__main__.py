"""`python -m api.commands` is the command."""

from api.commands import main

if __name__ == "__main__":  # a worker process of a command loads this file again
    main()
