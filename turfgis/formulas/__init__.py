"""
Pure formulas: SI units in, SI units out, scalars or arrays alike.

Each function is named for what it returns, states units in brackets and raises `InputError` for an argument that has
no meaning. Nothing here knows of files, settings or geometry objects.
"""
