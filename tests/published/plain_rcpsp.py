"""A plain model of a project with limited resources: whole steps, intervals, cumulative limits.

It shares nothing with the levelling of the program but the solver, so one checks the other.
"""

from __future__ import annotations

from dataclasses import dataclass

from ortools.sat.python import cp_model

from roomwright.schedule.rcpsp import Instance


@dataclass(frozen=True, slots=True)
class Solved:
    """The shortest length found, and what none can be under."""

    length: int
    bound: int

    @property
    def proved(self) -> bool:
        return self.bound >= self.length


def solve(instance: Instance, seconds: float, workers: int = 2) -> Solved:
    model = cp_model.CpModel()
    network = instance.network
    horizon = sum(int(a.days) for a in network)
    start = {a.id: model.new_int_var(0, horizon, a.id) for a in network}
    span = {
        a.id: model.new_fixed_size_interval_var(start[a.id], int(a.days), a.id) for a in network
    }
    for link in network.links:
        model.add(start[link.after] >= start[link.before] + int(network[link.before].days))
    for name, most in instance.most.items():
        users = [(id, n[name]) for id, n in instance.takes.items() if name in n]
        model.add_cumulative([span[id] for id, _ in users], [n for _, n in users], most)
    end = model.new_int_var(0, horizon, "end")
    model.add_max_equality(end, [start[a.id] + int(a.days) for a in network])
    model.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Solved(round(solver.objective_value), round(solver.best_objective_bound))
