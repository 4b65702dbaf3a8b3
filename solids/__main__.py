"""`python -m solids`, where the script `halfpin` is not on the path."""

from solids.app.cli import main

if __name__ == "__main__":
    main()
