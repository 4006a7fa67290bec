"""The weights and slings at hand, every float in SI, and how each field stands in its file."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import hypot
from typing import Annotated

from calc.data.declared import (
    LEFT_OUT,
    At,
    Count,
    Fields,
    Id,
    Length,
    Mass,
    MassOrZero,
    Named,
    Text,
)
from calc.fields import Is


@dataclass(frozen=True)
class Weight:
    """Test weights of one kind; height of the lifting points above the underside and the diagonal between them."""

    id: Annotated[Id, "Id of this kind"]
    name: Annotated[Text, "Name as the crew uses it"]
    mass: Annotated[Mass, "Mass of one", Is(most="200 t")]
    length: Annotated[Length, "Footprint, longer side", Is(most="20 m")]
    width: Annotated[Length, "Footprint, shorter side", Is(most="20 m")]
    height: Annotated[Length, "Height of one", Is(most="10 m")]
    count: Annotated[Count, "How many the yard has", Is(maximum=100)]
    lifting_points: Annotated[
        tuple[float, float] | None,
        Fields(
            lifting_points=Annotated[
                Mapping[str, float] | None,
                "Where the four legs of the slings are shackled on; leave out for the corners of the upper face",
                Named(
                    height=Annotated[Length, "Height of the lifting points above the underside", Is(most="10 m")],
                    length=Annotated[Length, "Distance between them along the longer side", Is(most="20 m")],
                    width=Annotated[Length, "Distance between them along the shorter side", Is(most="20 m")],
                ),
            ]
        ),
    ] = None

    @property
    def lifting_height(self) -> float:
        """Height of the lifting points above the underside, else of the upper face [m]."""
        return self.lifting_points[0] if self.lifting_points else self.height

    @property
    def lifting_diagonal(self) -> float:
        """Diagonal between the lifting points, else of the plan [m]."""
        return self.lifting_points[1] if self.lifting_points else hypot(self.length, self.width)


@dataclass(frozen=True)
class Sling:
    """Slings or one sling extension."""

    id: Annotated[Id, "Id of this sling"]
    name: Annotated[Text, "Name as the crew uses it"]
    length: Annotated[Length, "Length, hook to load", Is(most="50 m")]
    mass: Annotated[MassOrZero, "Mass of the set", Is(most="5 t")]
    capacity: Annotated[Mass, "Rated capacity of the set as used, angle counted", Is(most="2000 t")]


@dataclass(frozen=True)
class Yard:
    """What is at hand, and the room there is."""

    id: Annotated[Id, "Same as the file name"]
    name: Annotated[Text, "Name of the yard; an invented yard says so in a comment"]
    weights: Annotated[
        tuple[Annotated[Weight, "Weights of one kind"], ...],
        "Test weights, slabs and blocks at hand; never the counterweight in use",
        Is(minItems=1),
    ]
    slings: Annotated[Sling, "The slings used first, under the hook block"]
    extensions: Annotated[
        tuple[Annotated[Sling, "One sling extension"], ...],
        "Sling extensions at hand; each is there once",
        Is(maxItems=10),
        LEFT_OUT,
    ]
    load_height: Annotated[
        Length, At("load", "height", block="The most room a made-up load may take"), "Height", Is(most="10 m")
    ]
    load_length: Annotated[Length, At("load", "length"), "Longer side", Is(most="30 m")]
    load_width: Annotated[Length, At("load", "width"), "Shorter side", Is(most="30 m")]
    working_radius: Annotated[
        Length | None,
        "Largest radius with room on this site; leave out where there is no such limit",
        Is(most="300 m"),
    ]
