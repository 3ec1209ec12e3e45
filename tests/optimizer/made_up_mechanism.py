"""A mechanism that nobody sells, in one row: what files, a run, its words and the page's form make of it, as JSON."""

import json
import sys
from dataclasses import dataclass
from typing import ClassVar

from geometry.files.schema import keyed
from optimizer.rigs.mechanisms import LENGTH, MECHANISMS, SHARE, Mechanism, Transmission

RIG = "[mechanism.treadle]\nlever_mm = 300\nstroke_mm = 150\n[mover]\ncadence_per_minute = 500\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Treadle(Mechanism):
    """A board that a foot rocks, with a strap round the shaft."""

    LABEL: ClassVar[str] = "a rocked board with a strap"
    BEATS: ClassVar[str] = "treads"
    lever: float = keyed("lever_mm", LENGTH, "from hinge to foot", "Hinge to foot", example="300")
    stroke: float = keyed("stroke_mm", LENGTH, "of the foot", example="150")
    efficiency: float = keyed("efficiency", SHARE, "of the strap", default=0.9)

    @property
    def transmission(self) -> Transmission:
        return Transmission(travel_per_radian=self.lever / 10, efficiency=self.efficiency, stroke=self.stroke)


def main() -> None:
    """Registered before the tables of files are made, as a row of the registry is."""
    MECHANISMS["treadle"] = Treadle

    from readme_tables import readme_table
    from rigs import BARE, OhmicTorque

    from geometry.files.reading import FileFaults
    from optimizer.answers.forms import forms
    from optimizer.documents.study_document import run_document
    from optimizer.rigs.hand_drive import drive_against
    from optimizer.rigs.rig_file import RigTable, rig_from_text, rig_text
    from optimizer.words.drive_words import run_lines

    def faults(text: str) -> str:
        try:
            return str(rig_from_text(text, "rig.toml"))
        except FileFaults as told:
            return str(told)

    rig = rig_from_text(RIG + "[flywheel]\ninertia_kg_m2 = 0.01\n", "rig.toml")
    run = drive_against(OhmicTorque(), rig, BARE, 10.0)
    json.dump(
        {
            "same": rig_from_text(rig_text(rig), "again.toml") == rig,
            "text": rig_text(rig),
            "faults": faults(RIG.replace("300", "0")),
            "none": faults("[mechanism]\n[mover]\ncadence_per_minute = 50\n"),
            "strokes": len(run.strokes),
            "watts": run_document(run)["settled"]["load_W"],
            "words": run_lines(run),
            "choices": forms()["mechanisms"],
            "field": forms()["fields"]["rig"]["mechanism.treadle.lever_mm"],
            "readme": readme_table(RigTable),
        },
        sys.stdout,
    )


if __name__ == "__main__":
    main()
