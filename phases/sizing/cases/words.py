"""Small numbers as words, for result keys and sentences."""

_WORDS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
    "ten", "eleven", "twelve",
)  # fmt: skip


def number_word(number: int) -> str:
    """A small number as a word, `13` and more as digits."""
    return _WORDS[number] if number < len(_WORDS) else str(number)
