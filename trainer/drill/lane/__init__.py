"""Lane: the order of commands that fits a surface in the least time."""
