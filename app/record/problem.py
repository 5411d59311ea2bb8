"""What keys, signatures and papers answer when they refuse."""

from __future__ import annotations


class KeyProblem(Exception):
    """A key, an envelope or an office could not do what was asked; `sentence` says it to the user."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class WrongPassphrase(KeyProblem):
    """The envelope is whole, and this passphrase does not open it."""


class SigningProblem(Exception):
    """Nothing was signed; `sentence` says why."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class Altered(Exception):
    """What was signed is not what lies here; `sentence` says what differs."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


class CannotTell(Exception):
    """Something is missing to say genuine or altered; `sentence` says what."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence
