"""What every calculator's input and output is made of."""

from collections.abc import Iterator
from contextlib import contextmanager
from math import isfinite
from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

# Ranges wide enough for any bench and narrow enough to catch most wrong units.
Wavelength = Annotated[float, Field(ge=100, le=3000, description="nm")]
Irradiance = Annotated[float, Field(ge=0, le=1e6, description="mW/cm2")]
Absorptivity = Annotated[float, Field(ge=0, le=1e6, description="L/mol/cm, decadic")]
Concentration = Annotated[float, Field(ge=1e-9, le=20, description="mol/L")]
# [mol/L] the lightest initiator in use (148 g/mol) neat, at 1.1 g/cm3.
NEAT_MOL_L = 7.4


def _neat(value: float) -> float:
    if value > NEAT_MOL_L:
        message = (
            "did you type weight per cent or mmol/L? No initiator has more than "
            f"{NEAT_MOL_L:g} mol/L neat"
        )
        raise ValueError(message)
    return value


InitiatorAmount = Annotated[Concentration, AfterValidator(_neat)]
QuantumYield = Annotated[float, Field(ge=1e-6, le=2, description="per absorbed photon")]
Efficiency = Annotated[float, Field(ge=1e-6, le=1, description="share of the radicals")]
Seconds = Annotated[float, Field(ge=0, le=1e6, description="s")]
Share = Annotated[float, Field(ge=0, le=1, description="0 to 1")]


class Model(BaseModel):
    """Base of all inputs and outputs: no unknown fields, no NaN, no infinity."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, allow_inf_nan=False, populate_by_name=True
    )


class Doubt(Model):
    """A number that is answered but hardly meant: where, what, and the likely slip."""

    field: str
    given: float
    message: str


class Answer(Model):
    """Base of all outputs: ``implausible`` lists the inputs that are hardly meant."""

    implausible: list[Doubt] = Field(default_factory=list)


class InputError(ValueError):
    """An input that is well formed but cannot be used.

    Parameters
    ----------
    message
        One plain sentence: what is wrong and what to do.
    field
        Where in the input, dotted.
    given
        What was given there, if it helps.
    """

    def __init__(self, message: str, *, field: str, given: object = None) -> None:
        super().__init__(message)
        self.message = message
        self.field = field
        self.given = given


@contextmanager
def about(field: str) -> Iterator[None]:
    """Turn a plain ValueError of the computation into an error about a field."""
    try:
        yield
    except InputError:
        raise
    except ValueError as error:
        raise InputError(str(error), field=field) from error


def finite(value: float) -> float | None:
    """Return the value, or None where it is infinite."""
    return value if isfinite(value) else None
