"""Ground floor: places in files, faults, quantities and rounding. Imports nothing of the project."""
