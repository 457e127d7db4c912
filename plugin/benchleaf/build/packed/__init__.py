"""One set as one file to hand on, and taken in again.

`packing` makes the file of a set's folder, `container` reads it as what it is, something that a stranger wrote, and
`unpacking` puts it on the disk.
"""
