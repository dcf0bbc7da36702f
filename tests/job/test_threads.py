"""Several threads write to one house through one store."""

import threading
from fractions import Fraction

from tests.job import a_house

from roomwright.job import doctor
from roomwright.job.entities import Piece
from roomwright.job.facts import Change
from roomwright.job.store import Store

THREADS, WRITES = 4, 25


def one_more(facts):
    piece = facts.get(Piece, "T1")
    return [Change("piece", "T1", piece, piece.model_copy(update={"x": piece.x + 1}))]


def in_threads(work) -> None:
    errors: list[BaseException] = []

    def guarded(name: int) -> None:
        try:
            work(name)
        except BaseException as error:
            errors.append(error)

    threads = [threading.Thread(target=guarded, args=(n,)) for n in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not errors


def test_no_write_of_any_thread_is_lost(store: Store):
    a_house.build(store)
    sequences: list[int] = []

    def work(name: int) -> None:
        for i in range(WRITES):
            sequences.append(a_house.write(store, one_more, f"{name}-{i}").sequence)

    in_threads(work)
    assert sorted(sequences) == list(range(2, THREADS * WRITES + 2))
    assert store.facts("test-house").get(Piece, "T1").x == 81 + THREADS * WRITES
    assert doctor.examine(store) == []


def test_one_command_id_in_all_threads_writes_once(store: Store):
    a_house.build(store)
    done = []
    in_threads(lambda _: done.append(a_house.write(store, one_more, "same")))
    assert sorted(w.repeated for w in done) == [False, True, True, True]
    assert store.facts("test-house").get(Piece, "T1").x == 82


def test_readers_see_whole_states_while_a_writer_writes(store: Store):
    """Both pieces always move together: a reader never sees one moved and not the other."""
    a_house.build(store)
    twin = Piece(id="T2", room="101", kind="table", x=Fraction(81), y=Fraction(84))
    a_house.write(store, a_house.new(twin), "twin")

    def both(facts):
        pieces = [facts.get(Piece, id) for id in ("T1", "T2")]
        return [Change("piece", p.id, p, p.model_copy(update={"x": p.x + 1})) for p in pieces]

    with Store(store.url) as other:

        def work(name: int) -> None:
            last = 0
            for i in range(WRITES):
                if name == 0:
                    a_house.write(store, both, f"{i}")
                facts = (store, other)[name % 2].facts("test-house")
                assert facts.get(Piece, "T1").x == facts.get(Piece, "T2").x
                assert facts.sequence >= last
                last = facts.sequence

        in_threads(work)


def test_two_stores_on_one_new_file_open_at_once(store_url: str):
    opened: list[Store] = []
    in_threads(lambda _: opened.append(Store(store_url)))
    assert len(opened) == THREADS
    for one in opened:
        assert one.jobs() == []
        one.close()
