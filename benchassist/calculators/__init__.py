"""Checked questions put to the physics; knows no Qt, journal or bench state.

One module per calculator, loaded when it is asked for. Each has ``Input`` and
``Output``, pydantic models with units in their field names, and ``run``; the first
line of its docstring says what it answers.
"""

from dataclasses import dataclass
from importlib import import_module
from types import ModuleType
from typing import Any, cast

from benchassist.calculators.model import Answer, Model
from benchassist.calculators.plausible import doubts

NAMES = (
    "efficacy",
    "absorbed",
    "pairing",
    "coat",
    "tack-window",
    "rates",
    "depth",
    "spots",
    "halves",
    "vessel",
    "float",
    "bubble",
    "wash-film",
    "wash-bath",
    "drying",
    "purge",
    "drift",
    "eyes",
    "forecast-ready",
    "day-ahead",
)


@dataclass(frozen=True)
class Calculator:
    """A calculator, loaded: its models, its function and its one line."""

    name: str
    module: ModuleType

    @property
    def input_model(self) -> type[Model]:
        """The model of its input."""
        return cast("type[Model]", self.module.Input)

    @property
    def output_model(self) -> type[Model]:
        """The model of its output."""
        return cast("type[Model]", self.module.Output)

    @property
    def line(self) -> str:
        """What it answers."""
        return (self.module.__doc__ or "").partition("\n")[0]

    def run(self, question: Model) -> Answer:
        """Answer one question.

        Raises
        ------
        InputError
            If the question is well formed but has no answer.
        """
        answer: Any = self.module.run(question)
        return cast("Answer", answer).model_copy(
            update={"implausible": doubts(question)}
        )


def load(name: str) -> Calculator:
    """Load a calculator by its name.

    Raises
    ------
    KeyError
        If there is none of that name.
    """
    if name not in NAMES:
        raise KeyError(name)
    module = import_module(f"{__name__}.{name.replace('-', '_')}")
    return Calculator(name, module)
