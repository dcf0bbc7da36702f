"""tape.js, the page's own reader of lengths, gives the same answers and words as Python's."""

import json
import random
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from roomwright import lengths
from roomwright.lengths import LengthError, inches, parse, tape

VECTORS = json.loads(
    (Path(__file__).parents[1] / "vectors" / "lengths.json").read_text(encoding="utf-8")
)

RUN_TWIN = """async ([code, cases]) => {
  const url = URL.createObjectURL(new Blob([code], {type: "text/javascript"}));
  const {parse, tape, inches, LengthError} = await import(url);
  const read = (text) => {
    try { return {value: parse(text)}; }
    catch (e) {
      if (!(e instanceof LengthError)) throw e;
      return {says: e.message, readings: e.readings};
    }
  };
  const print = ([x, per]) => [tape(x, per), inches(x, per)];
  return {read: cases.texts.map(read), print: cases.lengths.map(print)};
}"""


def test_the_twin_on_the_page_gives_the_same_answers(browser: Browser):
    code = (Path(lengths.__file__).parents[1] / "web/static/tape.js").read_text(encoding="utf-8")
    texts = [c["text"] for c in VECTORS["parse"] + VECTORS["refuse"]]
    bits = [*("15", "3", "1/2", "31/2", "2.5", "1,200", "4,66", "'", '"', "-", " ", " - ", " + ")]
    bits += [*("ft", "in", "mm", "m", "½", "″", "and", "x", "99", "162", ",", "meters", "7/4")]
    rng = random.Random(7)
    texts += ["".join(rng.choices(bits, k=rng.randint(1, 9))) for _ in range(3000)]
    texts += ["9" * 201, "1+" * 99 + "1"]
    printed = [[float(parse(c["inches"])), c["per_inch"]] for c in VECTORS["tape"]]
    printed += [[rng.randint(-(10**6), 10**6) / 128, 16] for _ in range(1000)]
    page = browser.new_page()
    got = page.evaluate(RUN_TWIN, [code, {"texts": texts, "lengths": printed}])
    page.close()
    for text, twin in zip(texts, got["read"], strict=True):
        want = {}
        try:
            want = {"value": pytest.approx(float(parse(text)), abs=1e-9, rel=1e-12)}
        except LengthError as error:
            want = {"says": str(error), "readings": list(error.readings)}
        assert twin == want, text
    for (x, per_inch), twin in zip(printed, got["print"], strict=True):
        assert twin == [tape(x, per_inch), inches(x, per_inch)]
