"""Paper: one sheet a class, one card an athlete; black-and-white safe, in our own face."""
