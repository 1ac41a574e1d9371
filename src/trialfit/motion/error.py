"""What motion says when a suspension cannot do what is asked."""


class MotionError(ValueError):
    """The suspension cannot be closed; the message names the part and, where it moves first, the heave and roll."""
