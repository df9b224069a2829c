"""
Papers that go to the boat: shop sheets drawn in millimetres, black on white. No mathematics.
"""
