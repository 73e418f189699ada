"""Looking at pages."""


def text_of(answer) -> str:
    """The answer's page with its spaces folded, so that a sentence can be looked for."""
    return " ".join(answer.content.decode().split())
