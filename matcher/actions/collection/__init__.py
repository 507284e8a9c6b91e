"""Many bins as one: a guild's, a charity's depots, a swap group's.

Read in this order: `unnamed` (a lot's words without the people of its bin), `given` (what one bin gives to a
collection, and no more).
"""
