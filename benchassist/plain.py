"""What went wrong in one plain sentence: what, where, and what to do."""


class PlainError(Exception):
    """A complaint whose message is for whoever sits at the bench."""
