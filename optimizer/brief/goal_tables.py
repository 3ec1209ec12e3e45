"""The tables of a brief that say what is wanted: the goal, and the load when one is meant."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from geometry.files.key_tables import Earlier, Table, choice, key, presence, quantity, refuse, refuse_table
from geometry.files.values import decimal_of, shown
from geometry.files.writing import Row
from optimizer.loads.load_file import LoadTable, load_of, load_rows
from optimizer.loads.load_target import TARGETS, LoadTarget

GOALS = ("emf_rms", "power")


class GoalTable(Table):
    """What the search is after; the last two goals need a `[load]`."""

    maximise: Annotated[str, choice((*GOALS, *TARGETS))] = key(
        "maximise",
        GOALS[0],
        meaning="voltage; power into a matched load; with a table `[load]` "
        "also power into that load, or the least speed at which it works",
        label="Goal",
    )
    watts: Annotated[float | None, quantity(positive=True, maximum="100000")] = key(
        "load_W", None, 'for `"lowest_speed"`: what the load must get to count as working',
        "It works from (empty: any)", usual="that it begins",
    )  # fmt: skip

    @presence("watts")
    @staticmethod
    def _for_speed(watts: object, earlier: Earlier) -> None:
        goal = earlier.data.get("maximise")
        if watts is not None and goal is not None and goal != "lowest_speed":
            refuse('be left out unless maximise = "lowest_speed"', shown(watts))


def check_load(load: LoadTable | None, goal: GoalTable) -> None:
    """Refuse a load that the goal does not ask for, a missing one, and watts that it cannot take."""
    wanted = goal.maximise in TARGETS
    if load is None:
        if wanted:
            refuse_table(f'a table [load] must be given for maximise = "{goal.maximise}", was missing')
        return
    if not wanted:
        refuse(f"be left out unless maximise is one of {', '.join(TARGETS)}", "a table")
    asked = load_of(load)
    if not asked.TAKES_CURRENT:
        refuse("be a load that takes current", f'"{load.kind}"')
    if asked.limited and (goal.watts or 0) > asked.limited.most_watts:
        refuse("be able to give goal.load_W", f"{asked.limited.most_watts:g} W at most")


def target_of(goal: GoalTable, load: LoadTable | None) -> LoadTarget | None:
    """The target of valid tables, or None for a goal without a load."""
    if load is None:
        return None
    return LoadTarget(kind=goal.maximise, load=load_of(load), watts=goal.watts)


def goal_rows(goal: str, target: LoadTarget | None) -> Iterator[tuple[str, list[Row]]]:
    """The `[goal]` table, and the `[load]` table when there is one."""
    if target is None:
        yield "[goal]", [("maximise", goal, "emf_rms, or power into a matched load")]
        return
    watts = None if target.watts is None else decimal_of(target.watts)
    yield (
        "[goal]",
        [
            ("maximise", target.kind, "load_power, or lowest_speed at which the load works"),
            ("load_W", watts, "what the load must get to work"),
        ],
    )
    yield "[load]", load_rows(target.load)
