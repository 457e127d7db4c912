"""Photos: what was seen before, during and after the work.

`pictures` turns an original, whatever it is, into pictures that may be published; `originals` says where it lies and
whether it can be one, `preparing` does the work on its pixels.
"""
