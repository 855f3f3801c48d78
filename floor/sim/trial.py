"""The trial of the rules: simulated lifters under the gym's rules and under the peers.

    nice python -m floor.sim.trial --lifters 500 --weeks 26 --seeds report

prints the table. `--seeds tune` are other lifters: rules are tuned on those and
reported on these. `--sensitivity` repeats it under each altered assumption,
`--rules` says how often each rule spoke. It proves nothing about people: it finds
rules that misbehave.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from functools import partial
from itertools import islice
from multiprocessing import get_context

from floor.core.definitions import Problems, parse_gym
from floor.core.gym import Gym
from floor.sim import trial_report
from floor.sim.trial_report import Results
from floor.sim.trial_rules import ByTheRules
from floor.sim.trial_run import POLICIES, Tally, run_lifter
from floor.sim.trial_table import ALTERED, FROZEN, Assumptions, checksum

SEEDS = {"tune": 11, "report": 2611}
"""Rules are tuned on the lifters of the first and reported on those of the second."""
PROCESSES, SENSITIVITY_SHARE = 2, 5

Job = tuple[str, int]


def _one(gym: Gym, table: Assumptions, seed: int, weeks: int, job: Job) -> Tally:
    return run_lifter(gym, table, seed, job[1], job[0], weeks)


def trial(
    gym: Gym, lifters: int, weeks: int, seed: int, table: Assumptions = FROZEN, processes: int = 1,
    policies: Sequence[str] = POLICIES,
) -> dict[str, list[Tally]]:
    """What every policy came to for the same lifters, in their order: the same for any number of processes."""
    jobs = [(policy, lifter) for policy in policies for lifter in range(lifters)]
    work = partial(_one, gym, table, seed, weeks)
    if processes > 1:
        with get_context("spawn").Pool(processes) as pool:
            done = pool.map(work, jobs, chunksize=5)
    else:
        done = [work(job) for job in jobs]
    answers = iter(done)
    return {policy: list(islice(answers, lifters)) for policy in policies}


def sensitivity(gym: Gym, lifters: int, weeks: int, seed: int, processes: int = 1) -> Iterator[tuple[str, Results]]:
    """What every policy came to under the frozen assumptions and under each altered one, one after another."""
    for name, table in {"as frozen": FROZEN, **ALTERED}.items():
        yield name, trial(gym, lifters, weeks, seed, table, processes)


def the_gym() -> Gym:
    """The gym of the shipped templates. Raises ValueError when they can't be read."""
    from floor.templates import templates  # the trial's own modules know core alone; this is its shell

    texts = templates()
    gym = parse_gym(texts, dict.fromkeys(texts, 1), "kg")
    if isinstance(gym, Problems):
        raise ValueError(" ".join(gym.sentences()))
    return gym


def whole_report(gym: Gym, lifters: int, weeks: int, seed: int, processes: int, rules: bool = False) -> str:
    """The table and what belongs under it."""
    results = trial(gym, lifters, weeks, seed, processes=processes)
    parts = [
        f"The trial of the rules: {lifters} simulated lifters, {weeks} weeks of 3 sessions, seed {seed}",
        f"assumptions frozen before the rules were tried, checksum {checksum()[:12]}; mean ±95 % over lifters",
        "",
        trial_report.by_policy(results, weeks), "",
        trial_report.against(results), "",
        trial_report.aim(results),
        trial_report.faults_of_the_trial(results), "",
        trial_report.legend(), "",
        *trial_report.SAYS,
    ]
    if rules:
        parts += ["", trial_report.rules_that_spoke(results[ByTheRules.name])]
    return "\n".join(parts)


def main(given: Sequence[str] | None = None) -> None:
    """Print the trial."""
    words = argparse.ArgumentParser(prog="python -m floor.sim.trial", description="The trial of the rules.")
    words.add_argument("--lifters", type=int, default=500)
    words.add_argument("--weeks", type=int, default=26)
    words.add_argument("--seeds", choices=[*SEEDS], default="report")
    words.add_argument("--processes", type=int, default=PROCESSES)
    words.add_argument("--sensitivity", action="store_true", help="also each altered assumption, fewer lifters")
    words.add_argument("--rules", action="store_true", help="also how often each rule spoke")
    asked = words.parse_args(given)
    if asked.lifters < 2 or asked.weeks < 1 or asked.processes < 1:
        words.error("at least 2 lifters, 1 week and 1 process")
    gym, seed = the_gym(), SEEDS[asked.seeds]
    print(whole_report(gym, asked.lifters, asked.weeks, seed, asked.processes, asked.rules), flush=True)
    if asked.sensitivity:
        fewer = max(2, asked.lifters // SENSITIVITY_SHARE)
        print(f"\nWith one assumption altered, {fewer} lifters each, the rules as % of always add", flush=True)
        print("(gained/sharp and gained/made: load gained as % of the other two)", flush=True)
        print(trial_report.altered_head(), flush=True)
        for name, results in sensitivity(gym, fewer, asked.weeks, seed, asked.processes):
            print(trial_report.altered_row(name, results), flush=True)


if __name__ == "__main__":
    main()
