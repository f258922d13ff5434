"""What a command raises when it cannot do what was asked."""

from __future__ import annotations


class CommandError(Exception):
    """A command cannot do what was asked; the text is the whole message."""
