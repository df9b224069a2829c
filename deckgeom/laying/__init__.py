"""
Laying the deck: how much of everything.
"""
