"""Parts, shelf, money and customer in a real browser: what is wrong stands at its field, and the page is taken anew once it is saved."""


def press(page, form, name):
    """Presses a form's button and waits for what the server says."""
    with page.expect_response(lambda r: "/desk/" in r.url and r.request.method == "POST") as answer:
        form.get_by_role("button", name=name).click()
    page.wait_for_timeout(300)
    return answer.value.status


def test_a_late_part_is_promised_anew_comes_and_is_held_against_the_sheet(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/marigold/supply")
    card = page.locator("article#part-thrust-m2")
    assert "late" in card.inner_text()
    card.get_by_text("Promised for another day").click()
    assert press(page, card, "Keep the day") == 422
    assert "nothing was given" in card.locator(".at-field:not([hidden])").inner_text()
    card.locator("input[type=date]").fill("2999-12-24")
    card.get_by_label("Why").fill("foundry shut")
    assert press(page, card, "Keep the day") == 200
    page.wait_for_selector("article#part-thrust-m2:has-text('24 December 2999'):not(:has-text('days late'))")
    assert press(page, card, "It has come") == 200
    page.wait_for_selector("li#part-thrust-m2")
    assert card.count() == 0
    row = page.locator("li#part-thrust-m2")
    row.locator("summary").click()
    row.get_by_role("link", name="Held against the sheet").click()
    page.wait_for_selector("h1:has-text('Held against the sheet')")
    page.get_by_label("It is").select_option("yes")
    page.get_by_role("button", name="Keep it").click()
    page.wait_for_selector("li#part-thrust-m2:has-text('held against the sheet')")
    assert [e["part"] for e in bench.log("marigold", "part.inspected")] == ["thrust-m2"]


def test_a_quote_is_made_from_the_lines_of_the_plan_with_one_more(bench, device):
    page = device(1440, 900)
    page.goto(f"{bench.url}/e/marigold/money")
    page.locator("#quotes").get_by_text("Make a quote").click()
    form = page.locator("#f-quote-make")
    form.get_by_label("Number").fill("Q 7")
    lines = form.get_by_label("Lines")
    lines.fill(lines.input_value() + "\nother; freight; 1; 35,00")
    assert press(page, form, "Make the quote") == 200
    page.wait_for_selector("h2:has-text('Quote Q 7, and what it became')")
    (quote,) = bench.log("marigold", "quote.made")
    assert quote["lines"][-1]["words"] == "freight"
    assert len(quote["lines"]) > 8


def test_the_customers_answer_is_kept_and_leaves_their_page(bench, device):
    page = device()
    page.goto(f"{bench.url}/e/marigold/customer")
    page.get_by_text("Their answer").click()
    form = page.locator("form[id^=f-approval-answer]")
    form.get_by_label("They").select_option("yes")
    assert press(page, form, "Keep the answer") == 200
    page.wait_for_selector("#h-agreed + ul:has-text('Agreed')")
    assert bench.log("marigold", "approval.given")[0]["who"].startswith("Orrin Tidewell")


def test_the_history_draws_its_plots_from_this_server(bench, device):
    page = device(1440, 900)
    page.goto(f"{bench.url}/history")
    page.locator("select[name=characteristic]").select_option("main-oil-clearance")
    page.get_by_role("button", name="Look").click()
    page.wait_for_selector(".plot svg .mark-symbol path")
    told = page.request.get(f"{bench.url}/api/history?characteristic=main-oil-clearance").json()
    assert page.locator("[data-plot='0'] svg .mark-symbol path").count() == len(told["values"])
