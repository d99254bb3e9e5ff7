"""The class on paper, from the desk."""


def test_the_class_sheet_is_a_pdf(assistant, house):
    answer = assistant.get(house.class_url + "sheet.pdf")
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


def test_cards_are_a_pdf_on_letter_too(assistant, house):
    assert assistant.get(house.class_url + "cards.pdf?paper=letter").content.startswith(b"%PDF")
