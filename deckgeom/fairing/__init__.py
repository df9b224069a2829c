"""
Beam tops as measured: true readings, which beam is wrong, what to plane and what to pack.
"""
