"""Plots in a real browser: drawn under a policy that makes no code, in the colours of the page, and loaded only there."""


def test_a_plot_is_drawn_from_this_server_alone_and_only_where_it_stands(bench, device):
    page = device(1440, 900)
    asked = []
    page.on("request", lambda r: asked.append(r.url.removeprefix(bench.url)))
    for path in ("/", "/e/marigold/drawing", "/e/marigold/choices", "/e/marigold/record"):
        page.goto(bench.url + path)
        page.wait_for_timeout(200)
    assert "/plots.js" not in asked
    page.goto(f"{bench.url}/e/marigold/plot/main-oil-clearance")
    page.wait_for_selector(".plot svg .mark-symbol path")
    assert "/plots.js" in asked
    assert page.locator(".plot svg .mark-symbol path").count() == 7
    fills = {page.evaluate("""() => getComputedStyle(document.querySelector('.plot svg .mark-symbol path')).fill""")}
    page.emulate_media(color_scheme="dark")
    fills.add(page.evaluate("""() => getComputedStyle(document.querySelector('.plot svg .mark-symbol path')).fill"""))
    assert len(fills) == 2, "the plot keeps its bright colours in the dark"
    assert page.evaluate("document.querySelector('.plot').scrollWidth <= document.querySelector('.plot').clientWidth")
