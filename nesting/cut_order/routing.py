"""Orders a few links by least travel, with OR-Tools' routing.

A *link* is what the head does in one go: a cut, which may be made in several
ways, or a run of cuts that is kept as it is. One vehicle visits every link in
one of its ways; each way is a node, and the nodes of a link exclude each
other. Precedence is a constraint on the places of nodes along the route. The
search starts from the links as given and descends to a route that no move of
the solver shortens. It reads no clock, so the same links give the same route.
"""

from collections.abc import Sequence

import numpy as np
from ortools.constraint_solver import pywrapcp, routing_enums_pb2

from nesting.cut_order.course import distances
from nesting.cut_order.passes import Pairs, Pass, Points
from nesting.units import GRID_PER_MM

#: A link's index and the way in which it is made.
Visit = tuple[int, int]


def find_route(links: Sequence[Pass], before: Pairs, start: Points) -> list[Visit]:
    """A shorter route through the links, or the given one if the search finds none.

    The given order respects ``before``, and way 0 of each link is in use.
    """
    visits = [(index, way) for index, link in enumerate(links) for way in range(len(link.ins))]
    ins = np.concatenate([start[None], *(link.ins for link in links)])
    outs = np.concatenate([start[None], *(link.outs for link in links)])
    nodes: list[list[int]] = [[] for _ in links]
    for node, (index, _) in enumerate(visits, start=1):
        nodes[index].append(node)
    model = _Model(distances(outs, ins))
    for alternatives in nodes:
        model.visit_one_of(alternatives)
    model.keep([(a, b) for first, second in before for a in nodes[first] for b in nodes[second]])
    route = model.descend([alternatives[0] for alternatives in nodes])
    return [visits[node - 1] for node in route]


class _Model:
    """One vehicle that starts at node 0 and may end anywhere: its end node costs nothing to reach.

    The nodes are numbered as in the matrix of distances ``far``.
    """

    def __init__(self, far: Points) -> None:
        self.size = len(far)
        self.manager = pywrapcp.RoutingIndexManager(self.size + 1, 1, [0], [self.size])
        self.model = pywrapcp.RoutingModel(self.manager)
        costs = np.pad(np.rint(far * GRID_PER_MM).astype(np.int64), ((0, 1), (0, 1)))
        self.model.SetArcCostEvaluatorOfAllVehicles(
            self.model.RegisterTransitMatrix(costs.tolist())
        )

    def visit_one_of(self, nodes: Sequence[int]) -> None:
        self.model.AddDisjunction([self.manager.NodeToIndex(node) for node in nodes])

    def keep(self, before: Pairs) -> None:
        """Require the first node of each pair before the second, where both are visited."""
        if not before:
            return
        self.model.AddConstantDimension(1, self.size + 1, True, "place")
        place = self.model.GetDimensionOrDie("place")
        for first, second in before:
            place.AddNodePrecedence(
                self.manager.NodeToIndex(first), self.manager.NodeToIndex(second), 1
            )

    def descend(self, route: Sequence[int]) -> list[int]:
        """The route after all improving moves, or the given one where the solver finds none."""
        parameters = pywrapcp.DefaultRoutingSearchParameters()
        parameters.local_search_metaheuristic = (
            routing_enums_pb2.LocalSearchMetaheuristic.GREEDY_DESCENT
        )
        self.model.CloseModelWithParameters(parameters)
        indices = [self.manager.NodeToIndex(node) for node in route]
        first = self.model.ReadAssignmentFromRoutes([indices], True)
        found = self.model.SolveFromAssignmentWithParameters(first, parameters)
        return list(route) if found is None else self._read(found)

    def _read(self, found: pywrapcp.Assignment) -> list[int]:
        route = []
        index = found.Value(self.model.NextVar(self.model.Start(0)))
        while not self.model.IsEnd(index):
            route.append(self.manager.IndexToNode(index))
            index = found.Value(self.model.NextVar(index))
        return route
