"""The wall board: read across the room, touched by nobody."""
