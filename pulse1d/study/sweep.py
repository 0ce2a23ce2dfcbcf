"""Every point of a study's plan: computed, kept, and put together."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from pulse1d.run.watched import Stopped
from pulse1d.study.evaluator import Watch, evaluator, journal_path
from pulse1d.study.loaded import LoadedStudy
from pulse1d.study.plan import Chosen
from pulse1d.study.store import keep, store_path, sweep_dataset

if TYPE_CHECKING:
    from xarray import Dataset


@dataclass(frozen=True)
class Swept:
    """A sweep that came to its end, or was stopped."""

    study: LoadedStudy
    plan: Chosen
    computed: int
    """Points computed now; others were in the journal."""
    journal: Path
    dataset: Dataset | None
    """None when it was stopped before its end."""
    path: Path | None

    @property
    def stopped(self) -> bool:
        """Whether points are left."""
        return self.dataset is None

    @cached_property
    def failures(self) -> dict[str, int]:
        """How many points failed for each reason, most frequent first."""
        if self.dataset is None:
            return {}
        texts = (str(text) for text in self.dataset["failure"].values)
        return dict(Counter(text for text in texts if text).most_common())


def sweep(
    study: LoadedStudy,
    plan: Chosen,
    *,
    workers: int | None = None,
    cluster: str | None = None,
    output: Path | None = None,
    watch: Watch | None = None,
    retry: bool = False,
) -> Swept:
    """Compute the points of a plan that have no outcome yet, and save all of them together.

    Parameters
    ----------
    study : LoadedStudy   [-]
    plan : Chosen   From ``pulse1d.study.plan.chosen`` [SI]
    workers, cluster, output, watch, retry : as in ``evaluator`` [-]
    Returns
    -------
    swept : Swept   [SI]
    Errors      As from ``evaluator``; InputError when the dataset cannot be saved.
    """
    journal = journal_path(study, output)
    with evaluator(
        study, workers=workers, cluster=cluster, output=output, watch=watch, retry=retry
    ) as evaluate:
        try:
            evaluate.compute(plan.points)
        except Stopped:
            return Swept(study, plan, evaluate.done, journal, None, None)
        dataset = sweep_dataset(study, plan.points, evaluate.outcome, plan.left_out)
        path = store_path(study, plan.points, output)
        keep(study, dataset, path)
        return Swept(study, plan, evaluate.done, journal, dataset, path)
