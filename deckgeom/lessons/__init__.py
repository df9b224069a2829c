"""The class: hulls made from a seed, exercises with their keys, known slips, and the paper for them."""
