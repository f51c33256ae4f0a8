"""Run plybook as a module: `python -m plybook`."""

from plybook.desk.command import main

if __name__ == "__main__":
    main()
