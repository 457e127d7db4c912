"""The way of the signal through a set from its aerial to its loudspeaker, and the supply that feeds it."""
