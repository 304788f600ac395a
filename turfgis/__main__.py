"""``python -m turfgis``."""

from turfgis.cli import main

if __name__ == "__main__":
    main()
