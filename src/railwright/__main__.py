"""Run the command line with ``python -m railwright``."""

from railwright.cli import main

if __name__ == "__main__":
    main()
