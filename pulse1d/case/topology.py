"""Do the legs of a case make a manifold? Checked on the plain data, so that a slip elsewhere in
the file does not hide a slip here."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pulse1d.case.document import Document, Place, listed, nearest
from pulse1d.errors import Problem

OUTLET = "outlet"


def topology_problems(document: Document) -> list[Problem]:
    """Everything wrong with how ports, runners, trunks and joints hang together.

    Parameters
    ----------
    document : Document   A whole case, its head merged in [-]
    Returns
    -------
    problems : list of Problem   Empty when all is well [-]
    """
    data = document.data
    ports = list(_named(data, ("head", "ports"), "name"))
    runners = list(_items(data, ("runners",)))
    trunks = list(_items(data, ("trunks",)))
    joints = list(_named(data, ("joints",), "name"))
    return [
        *_repeated(document, ports, "port"),
        *_repeated(document, joints, "joint"),
        *_ports_and_runners(document, ports, runners),
        *_joint_names(document, joints, runners, trunks),
        *_ways_out(document, joints, runners, trunks),
        *_expectations(document, [name for _, name in ports]),
        *_pulse_port(document, [name for _, name in ports]),
        *_firing_order(document),
    ]


def _items(data: Any, place: Place) -> Iterator[tuple[Place, dict[str, Any]]]:
    node: Any = data
    for key in place:
        node = node.get(key) if isinstance(node, dict) else None
    if isinstance(node, list):
        for i, item in enumerate(node):
            if isinstance(item, dict):
                yield (*place, i), item


def _named(data: Any, place: Place, key: str) -> Iterator[tuple[Place, str]]:
    for where, item in _items(data, place):
        if isinstance(item.get(key), str | int):
            yield where, str(item[key])


def _target(item: dict[str, Any], key: str) -> str | None:
    value = item.get(key)
    if isinstance(value, dict):
        value = value.get("joint")
    return str(value) if isinstance(value, str | int) else None


def _near(name: str, known: list[str]) -> str:
    meant = _meant(name, known)
    known = list(dict.fromkeys(known))
    return f"did you mean {meant!r}?" if meant in known else f"known: {listed(known) or 'none'}"


def _meant(name: str, known: list[str]) -> str:
    """The known name that is most like this one; the name itself when there is none."""
    return name if name in known else nearest(name, known) or name


def _repeated(document: Document, names: list[tuple[Place, str]], what: str) -> Iterator[Problem]:
    seen: dict[str, Place] = {}
    for place, name in names:
        if name in seen:
            line = document.mark(seen[name])[1]
            yield document.problem(
                place, f"{what} {name!r} is listed twice, first on line {line}", "rename one"
            )
        seen.setdefault(name, place)


def _ports_and_runners(
    document: Document,
    ports: list[tuple[Place, str]],
    runners: list[tuple[Place, dict[str, Any]]],
) -> Iterator[Problem]:
    known = [name for _, name in ports]
    taken: dict[str, Place] = {}
    for place, item in runners:
        port = item.get("port")
        if not isinstance(port, str | int):
            continue
        name = str(port)
        if known and name not in known:
            yield document.problem(
                (*place, "port"), f"the head has no port {name!r}", _near(name, known)
            )
        if name in taken:
            line = document.mark(taken[name])[1]
            yield document.problem(
                (*place, "port"),
                f"two runners start at port {name!r}; the other is on line {line}",
                "give each runner a port of its own",
            )
        taken.setdefault(name, (*place, "port"))
    if runners:
        for _, name in ports:
            if name not in taken:
                yield document.problem(
                    ("runners",),
                    f"port {name!r} of the head is left out: no runner starts there",
                    f"add a runner with `port: {name}`, or take the port out of the head",
                )


def _joint_names(
    document: Document,
    joints: list[tuple[Place, str]],
    runners: list[tuple[Place, dict[str, Any]]],
    trunks: list[tuple[Place, dict[str, Any]]],
) -> Iterator[Problem]:
    known = [name for _, name in joints]
    used: set[str] = set()
    for place, item in [*runners, *trunks]:
        for key in ("from", "to"):
            name = _target(item, key)
            if name is None or (key == "to" and name == OUTLET):
                continue
            used.add(name)
            if name not in known:
                remedy = _near(name, [*known, OUTLET] if key == "to" else known)
                yield document.problem(
                    (*place, key),
                    f"no joint is called {name!r}",
                    f"{remedy} list it under `joints` with its kind (branch or merge)",
                )
    for place, name in joints:
        if name not in used and (runners or trunks):
            yield document.problem(
                place, f"no leg meets at joint {name!r}", "lead a leg to it, or remove it"
            )


def _ways_out(
    document: Document,
    joints: list[tuple[Place, str]],
    runners: list[tuple[Place, dict[str, Any]]],
    trunks: list[tuple[Place, dict[str, Any]]],
) -> Iterator[Problem]:
    known = [name for _, name in joints]
    onward: dict[str, set[str]] = {}
    for _, item in trunks:
        start, stop = _target(item, "from"), _target(item, "to")
        if start and stop:
            # A name misspelt here is told already; what it means counts, so nothing echoes it.
            onward.setdefault(_meant(start, known), set()).add(_meant(stop, [*known, OUTLET]))
    reported: set[str] = set()
    for place, item in [*runners, *trunks]:
        stop = _target(item, "to")
        if stop is None or stop == OUTLET or stop not in known:
            continue
        reached, ahead = {stop}, [stop]
        while ahead:
            for name in onward.get(ahead.pop(), set()) - reached:
                reached.add(name)
                ahead.append(name)
        if OUTLET in reached:
            continue
        dead = sorted(name for name in reached if name not in onward)
        if dead and not reported & set(dead):
            reported.update(dead)
            yield document.problem(
                (*place, "to"),
                f"this leg leads nowhere: nothing leaves joint {dead[0]!r}",
                f"add a trunk with `from: {dead[0]}` that leads to the outlet",
            )
        elif not dead and not reported & reached:
            reported.update(reached)
            yield document.problem(
                (*place, "to"),
                f"a loop without an outlet: {', '.join(sorted(reached))} lead only to each other",
                "let one of their trunks lead to the outlet",
            )


def _expectations(document: Document, ports: list[str]) -> Iterator[Problem]:
    for place, name in _named(document.data, ("expect",), "port"):
        if ports and name not in ports:
            yield document.problem(
                (*place, "port"),
                f"a figure is expected of port {name!r}, which the head does not have",
                _near(name, ports),
            )


def _pulse_port(document: Document, ports: list[str]) -> Iterator[Problem]:
    name = _value(document.data.get("pulse"), "port")
    if isinstance(name, str | int) and ports and str(name) not in ports:
        yield document.problem(
            ("pulse", "port"), f"the head has no port {str(name)!r}", _near(str(name), ports)
        )


def _firing_order(document: Document) -> Iterator[Problem]:
    engine = document.data.get("engine")
    stated = _value(engine, "firing order")
    if not isinstance(stated, list) or not stated:
        return
    order = [str(name) for name in stated]
    for _, port in _items(document.data, ("head", "ports")):
        behind = port.get("cylinders") or [port.get("name")]
        for name in behind if isinstance(behind, list) else ():
            if isinstance(name, str | int) and str(name) not in order:
                yield document.problem(
                    ("engine", "firing order"),
                    f"cylinder {str(name)!r} behind port {str(port.get('name'))!r} does not fire",
                    "put it into the firing order, or say which `cylinders` stand behind the port",
                )


def _value(data: Any, key: str) -> Any:
    """What stands under a key, written with spaces or with underscores."""
    if not isinstance(data, dict):
        return None
    return data.get(key, data.get(key.replace(" ", "_")))
