"""`python -m xmlcheck` is the command line."""

from xmlcheck.cli import main

if __name__ == "__main__":
    main(prog_name="xmlcheck")
