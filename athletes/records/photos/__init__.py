"""Pictures of hands: taken apart, made anew and kept for a while. Nothing of a camera's file is kept but its pixels."""
