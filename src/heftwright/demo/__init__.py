"""The demo gym: our own invention, made by a documented generator. No real person, gym or contest."""
