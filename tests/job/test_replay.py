"""After any commands the facts are the replay of the journal, in memory and in the tables."""

import random

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.commands.random_commands import any_command
from tests.job import a_house

from roomwright import commands
from roomwright.job import doctor, rules
from roomwright.job.errors import ConflictError, StoreError
from roomwright.job.facts import Facts
from roomwright.job.store import Store


def replay(store: Store, job_id: str) -> Facts:
    facts = Facts()
    for entry in store.journal(job_id):
        facts = facts.changed(entry.changes, sequence=entry.sequence)
    return facts


def state(facts: Facts):
    return {
        (f.kind_name, f.id): (f, facts.version(f.kind_name, f.id)) for f in facts
    }, facts.sequence


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(seed=st.integers(0, 2**32), undo_share=st.sampled_from([0.0, 0.15, 0.4]))
def test_facts_are_the_replay_of_the_journal(store: Store, seed: int, undo_share: float):
    rng = random.Random(seed)
    job_id = store.create_new("House").id
    new = a_house.new(*a_house.FACTS)
    store.write(job_id, lambda _: new, command="start", payload={}, who="Ana", command_id="start")
    done = refused = 0
    for number in range(40):
        facts = store.facts(job_id)
        try:
            if rng.random() < undo_share:
                sequence = rng.choice([None, rng.randint(2, max(2, facts.sequence))])
                store.undo(job_id, sequence, who="Ben", command_id=f"c{number}")
            else:
                commands.run(store, job_id, any_command(rng, facts), who="Ana")
            done += 1
        except ConflictError:
            refused += 1
        except StoreError:
            refused += 1
            assert store.facts(job_id) is facts, "nothing was written"
    told = state(store.facts(job_id))
    assert state(replay(store, job_id)) == told
    with Store(store.url) as cold:
        assert state(cold.facts(job_id)) == told
    assert rules.examine(store.facts(job_id)) == []
    assert doctor.examine(store, job_id) == []
    assert done
