"""What a restorer writes, subject by subject: the sections a record is composed of."""
