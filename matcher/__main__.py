"""`python -m matcher`: the same as the command `matcher`."""

from matcher.cli.main import main

if __name__ == "__main__":
    main()
