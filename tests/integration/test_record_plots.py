"""Plots in the record: of clearances as read where they are read, else of what the parts foretell."""

from io import BytesIO

import pytest
from pypdf import PdfReader

from tenths.record.report import record_pdf
from tenths.record.report_plots import printed_plots
from tenths.services import questions


@pytest.mark.parametrize(("engine", "says"), [("marigold", "main oil clearance at 7 places"),
                                              ("kestrel", "main oil clearance, predicted at 5 places")])
def test_what_is_known_of_the_mains_is_plotted(demo_shop, engine, says):
    told, files = printed_plots(questions.findings(demo_shop, engine))
    assert told[0]["alt"].startswith(says)
    assert all(files[plot["file"]].startswith("<svg") for plot in told)
    assert "var(--" not in "".join(files.values())


def test_the_plots_stand_in_the_file_with_what_their_signs_mean(demo_shop):
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(record_pdf(demo_shop, "kestrel"))).pages).split())
    assert "Band: what is allowed" in text
    assert "main oil clearance, predicted [mm]" in text
