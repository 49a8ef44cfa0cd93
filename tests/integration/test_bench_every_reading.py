"""Whatever the tray asks for can be read with nothing but a number, and no page breaks of it."""

import pytest

from benches import Served, entry

PAGES = ("", "/tray", "/choices", "/record", "/sheet", "/station/main.1", "/station/cyl.1", "/station/deck.A")


@pytest.mark.parametrize("engine", ["marigold", "kestrel"])
def test_a_reading_of_everything_that_is_asked_for_breaks_no_page(tmp_path, engine):
    served = Served(tmp_path)
    with served.client() as ask:
        rows = ask.get(f"/api/engines/{engine}/tray").json()
        assert len({row["feature"] for row in rows}) > 10
        sent = [entry(n, "reading.taken", {"station": row["station"], "feature": row["feature"], "place": row["place"],
                                           "text": row["expected_text"] or f"0.0050 {row['unit']}".strip()})
                for n, row in enumerate(rows)]
        for begin in range(0, len(sent), 100):
            answers = ask.post(f"/api/engines/{engine}/entries", json=sent[begin:begin + 100]).json()
            assert [answer for answer in answers if answer["state"] != "saved"] == []
        broken = {page: ask.get(f"/e/{engine}{page}").status_code for page in PAGES}
        assert broken == dict.fromkeys(PAGES, 200)
        assert ask.get(f"/e/{engine}/record.pdf").status_code == 200
