"""Template tags that draw figures, pictures and words the one way the house writes them."""
