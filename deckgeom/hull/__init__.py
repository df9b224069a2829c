"""
The hull's deck edge: the table of offsets, what is wrong in it, the fair sheer, and a hull that is out of level.
"""
