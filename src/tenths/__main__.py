"""`python -m tenths` is the same as `tenths`."""

from tenths.cli import main

if __name__ == "__main__":
    main()
