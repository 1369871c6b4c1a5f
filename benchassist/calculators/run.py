"""The ``calc`` command: one JSON question in, one JSON answer out."""

import json
from collections.abc import Sequence
from typing import Final, TextIO

from pydantic import ValidationError

from benchassist.calculators import NAMES, Calculator, load
from benchassist.calculators.model import InputError

OK: Final = 0
BAD_INPUT: Final = 2

MOST_CHARACTERS = 16 * 2**20
MOST_ECHOED = 200  # [characters] of a refused input


def main(argv: Sequence[str], stdin: TextIO, stdout: TextIO, stderr: TextIO) -> int:
    """Run ``calc`` with the arguments that follow it.

    Parameters
    ----------
    argv
        Nothing to list the calculators; a name to answer the question on ``stdin``;
        a name and ``--schema`` to print the JSON Schemas.
    stdin, stdout, stderr
        Text streams; a refused question leaves ``stdout`` empty.

    Returns
    -------
    int
        0, or 2 where the input was refused and ``stderr`` holds the reason as JSON.
    """
    try:
        answer = _answer(argv, stdin)
    except InputError as error:
        _refuse(stderr, error.field, error.message, error.given)
        return BAD_INPUT
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        given = None if first["type"] == "json_invalid" else first["input"]
        _refuse(stderr, _dotted(first["loc"]), _sentence(first["msg"]), given)
        return BAD_INPUT
    stdout.write(answer + "\n")
    return OK


def _answer(argv: Sequence[str], stdin: TextIO) -> str:
    match list(argv):
        case []:
            return "\n".join(f"{name:<16}{_load(name).line}" for name in NAMES)
        case [name, "--schema"]:
            calculator = _load(name)
            return json.dumps(
                {
                    "input": calculator.input_model.model_json_schema(),
                    "output": calculator.output_model.model_json_schema(),
                }
            )
        case [name]:
            return _calculate(_load(name), stdin)
        case _:
            raise InputError(
                "Give a calculator's name, and --schema or nothing after it.",
                field="arguments",
                given=" ".join(argv),
            )


def _load(name: str) -> Calculator:
    try:
        return load(name)
    except KeyError:
        message = f"No calculator {name!r}; there are {', '.join(NAMES)}."
        raise InputError(message, field="name", given=name) from None


def _calculate(calculator: Calculator, stdin: TextIO) -> str:
    try:
        text = stdin.read(MOST_CHARACTERS + 1)
    except UnicodeDecodeError:
        raise InputError("The input is not UTF-8 text.", field="input") from None
    if len(text) > MOST_CHARACTERS:
        raise InputError("The input is over 16 million characters.", field="input")
    # Strict, so that "5" or true is never taken for a number.
    question = calculator.input_model.model_validate_json(text, strict=True)
    try:
        return calculator.run(question).model_dump_json()
    except ValidationError as error:
        place = _dotted(error.errors(include_url=False)[0]["loc"])
        message = f"The answer {place} is not a finite number; check the input's sizes."
        raise InputError(message, field="input") from error


def _refuse(stderr: TextIO, field: str, message: str, given: object) -> None:
    error = {"field": field, "message": message, "given": _plain(given)}
    stderr.write(json.dumps({"error": error}, allow_nan=False) + "\n")


def _dotted(place: tuple[int | str, ...]) -> str:
    """Join a place in the input; names in angle brackets only tell shapes apart."""
    parts = [str(part) for part in place if not str(part).startswith("<")]
    return ".".join(parts) or "input"


def _sentence(message: str) -> str:
    return message[:1].upper() + message[1:].rstrip(".") + "."


def _plain(given: object) -> object:
    """Return what was given as JSON can hold it: no NaN, no infinity, not too long."""
    try:
        text = json.dumps(given, allow_nan=False)
    except (TypeError, ValueError):
        given = text = str(given)
    return given if len(text) <= MOST_ECHOED else text[:MOST_ECHOED] + "..."
