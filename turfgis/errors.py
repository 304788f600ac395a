"""
What can go wrong, as a tree.

::

    TurfgisError
    ├── InputError       an argument of a formula has no meaning (also a ValueError)
    ├── LayerError       a file of drawn shapes, or a layer in it, cannot be used
    ├── SettingsError    a settings file says something that cannot be used
    ├── OutputError      a result cannot be written
    └── ChangedElsewhere something else has changed what was to be changed; nothing was overwritten

Each carries one message for the reader who must mend the input: what was given and where, what would be accepted.
Anything else that escapes is a bug.
"""


class TurfgisError(Exception):
    """Something the reader can mend."""


class InputError(TurfgisError, ValueError):
    """An argument of a formula has no meaning."""


class LayerError(TurfgisError):
    """A file of drawn shapes, or a layer in it, cannot be used."""


class SettingsError(TurfgisError):
    """A settings file says something that cannot be used."""


class OutputError(TurfgisError):
    """A result cannot be written."""


class ChangedElsewhere(TurfgisError):
    """
    Another window or program has changed what was to be changed; nothing was overwritten.

    Attributes
    ----------
    differences
        For each shape concerned what was seen before and what is there now.
    """

    def __init__(self, message, differences=()):
        super().__init__(message)
        self.differences = tuple(differences)
