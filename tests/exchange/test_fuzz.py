"""Whatever the bytes are: facts that the store takes too, or a FolderError, and nothing else."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.exchange.houses import GOOD

from roomwright.exchange.folder import FolderError, read_files
from roomwright.exchange.forms import FORMS
from roomwright.exchange.samples import example_path
from roomwright.exchange.writer import to_files
from roomwright.job.rules import examine

DEMO = {p.name: p.read_bytes() for p in example_path("tern-hollow").iterdir()}
SMALL = {name: text.encode() for name, text in GOOD.items()}
NAMES = [form.file for form in FORMS]
SETTINGS = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])

TOKENS = st.sampled_from(
    [b",", b'"', b"\n", b"\r", b"\t", b";", b"#", b"=", b"'", b"\0", b"\xff", b"\xfe\xff",
     b"\xef\xbb\xbf", b"-", b"/", b"1/0", b"1e999", b"9" * 400, b"NaN", b"inf", b"0", b"all",
     b"out", b"\xc2\xbd", b"3-Apr", b"2027-13-45", b"0 0, 1 1", b"0 0, 9 9, 9 0, 0 9", b"[[",
     b"]]", b"{", b"a.b = 1\n", b"\xe2\x80\xae", b"\xed\xa0\x80", b"A1", b"L001", b"101",
     b" ", b"0001-01-01", b"9999-12-31"]
)  # fmt: skip


@st.composite
def mutated(draw, files):
    """Some files of a house, cut, doubled and sprinkled with what hurts."""
    changed = dict(files)
    for name in draw(st.lists(st.sampled_from(sorted(files)), min_size=1, max_size=3)):
        data = bytearray(changed[name])
        for _ in range(draw(st.integers(1, 5))):
            at = draw(st.integers(0, len(data)))
            match draw(st.integers(0, 3)):
                case 0:
                    data[at:at] = draw(TOKENS)
                case 1:
                    del data[at : at + draw(st.integers(1, 40))]
                case 2:
                    data[at : at + draw(st.integers(1, 8))] = draw(TOKENS)
                case _:
                    other = draw(st.integers(0, len(data)))
                    data[at:at] = data[other : other + draw(st.integers(1, 80))]
        changed[name] = bytes(data)
    return changed


def holds(files):
    """Read the files; what is accepted stands up to the store's rules and comes round again."""
    try:
        loaded = read_files(files)
    except FolderError as no:
        refused = no
    else:
        assert examine(loaded.facts) == []
        again = read_files({n: t.encode() for n, t in to_files(loaded.facts).items()})
        assert list(again.facts) == list(loaded.facts)
        return
    assert refused.problems
    assert all(p.severity == "error" and p.wrong and p.do for p in refused.problems)
    assert all(line.isprintable() for line in str(refused).split("\n"))


@SETTINGS
@given(mutated(SMALL))
def test_a_small_house_mutated(files):
    holds(files)


@settings(SETTINGS, max_examples=25)
@given(mutated(DEMO))
def test_the_demo_house_mutated(files):
    holds(files)


@SETTINGS
@given(st.sampled_from(NAMES), st.binary(max_size=400))
def test_random_bytes_in_place_of_a_file(name, data):
    holds({**SMALL, name: data})


@SETTINGS
@given(st.sampled_from(NAMES), st.text(max_size=200))
def test_random_text_in_place_of_a_file(name, text):
    holds({**SMALL, name: text.encode("utf-8", "surrogatepass")})


@SETTINGS
@given(st.sampled_from([n for n in NAMES if n.endswith(".csv")]), st.data())
def test_random_cells_under_the_right_names(name, data):
    form = next(f for f in FORMS if f.file == name)
    cell = st.one_of(st.text(max_size=30), TOKENS.map(lambda b: b.decode("utf-8", "replace")))
    rows = data.draw(st.lists(st.lists(cell, min_size=len(form.columns), max_size=len(form.columns))
                              , max_size=3))  # fmt: skip
    lines = [",".join(c.name for c in form.columns)]
    lines += [",".join('"' + c.replace('"', '""') + '"' for c in row) for row in rows]
    holds({**SMALL, name: "\n".join(lines).encode("utf-8", "replace")})
