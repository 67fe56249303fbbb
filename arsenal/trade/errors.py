"""Known errors: a finished sentence, whether data is safe, and what to do next. Anything else is a bug."""

from __future__ import annotations


class KnownError(Exception):
    """Something went wrong that the program understands.

    `sentence` says what happened; `safe` says what became of the data; `next_step` says what to do.
    """

    def __init__(self, sentence: str, *, safe: str = "Nothing was changed.", next_step: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.safe = safe
        self.next_step = next_step

    def __str__(self) -> str:
        return " ".join(part for part in (self.sentence, self.safe, self.next_step) if part)


class OutOfRange(KnownError):
    """A value outside what can be true; names the field, the value and the allowed range."""

    def __init__(self, field: str, value: object, allowed: str, *, next_step: str = "") -> None:
        super().__init__(f"{field} is {value}; it must be {allowed}.", next_step=next_step)
        self.field, self.value, self.allowed = field, value, allowed


class NotUnderstood(KnownError):
    """A typed line that cannot be read; names the word and what would do."""

    def __init__(self, word: str, would_do: str, *, choices: tuple[str, ...] = ()) -> None:
        super().__init__(f"“{word}” is not understood.", next_step=would_do)
        self.word, self.would_do, self.choices = word, would_do, choices


class NotFound(KnownError):
    """A ball, bowler or lane that the file does not hold, or a name that fits several (`choices`)."""

    def __init__(
        self, sentence: str, *, safe: str = "Nothing was changed.", next_step: str = "", word: str = "",
        choices: tuple[str, ...] = (),
    ) -> None:  # fmt: skip
        super().__init__(sentence, safe=safe, next_step=next_step)
        self.word, self.choices = word, choices


class NameTaken(KnownError):
    """Somebody of this name is in the file; `offered` is the name with an addition that tells the two apart."""

    def __init__(self, name: str, offered: str) -> None:
        super().__init__(
            f"There is a {name} already.",
            next_step=f"Add a phone number, a second name or an initial to tell them apart, as in “{offered}”.",
        )
        self.offered = offered
