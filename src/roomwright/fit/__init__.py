"""What fits in a room: clear distances, seats, swings, walk paths, fixtures, stairs and lights.

Pure: it takes the frozen values of `roomwright.fit.model` and gives frozen answers.
"""
