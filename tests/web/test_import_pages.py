"""Files in and out: preview, answer, accept, take back."""

import re
from html import unescape

from django.core.files.uploadedfile import SimpleUploadedFile
from floor_cast import ROW

from heftwright.usecases import squad

URL = f"/gym/{ROW}/import/"
GOOD = "Number,Name,Sex,Born\n60,Ada Lind,woman,1999-04-01\n61,Bo Hult,man,1998-02-03\n"


def sent(text=GOOD, name="squad.csv", **more):
    return {"files": SimpleUploadedFile(name, text.encode()), **more}


def test_a_preview_counts_rows_and_saves_nothing(head, house):
    page = head.post(URL + "preview", sent()).content.decode()
    assert "squad.csv" in page
    assert "Save 2 records" in page
    assert "Ada Lind" not in {item.name for item in squad.get_squad(gym=ROW)}


def mark_of(page):
    return page.split('name="mark" value="')[1].split('"')[0]


def test_what_was_looked_at_is_saved_and_can_be_taken_back(head, house):
    mark = mark_of(head.post(URL + "preview", sent()).content.decode())
    answer = head.post(URL + "accept", sent(mark=mark))
    assert answer.headers["HX-Redirect"] == URL
    assert "Ada Lind" in {item.name for item in squad.get_squad(gym=ROW)}
    page = head.get(URL).content.decode()
    assert "This removes 2 athletes, as the gym stood before" in page
    batch = re.findall(r"import/([0-9]+)/undo", page)[-1]
    told = head.post(f"{URL}{batch}/undo", follow=True).content.decode()
    assert "To have it again, import squad.csv once more" in told
    assert "Ada Lind" not in {item.name for item in squad.get_squad(gym=ROW)}


def test_other_files_than_were_looked_at_are_not_saved(head, house):
    mark = mark_of(head.post(URL + "preview", sent()).content.decode())
    answer = head.post(URL + "accept", sent(GOOD.replace("Ada", "Eve"), mark=mark))
    assert answer.status_code == 412
    assert "Eve Lind" not in {item.name for item in squad.get_squad(gym=ROW)}


def test_a_problem_names_file_row_and_column(head, house):
    page = head.post(URL + "preview", sent(GOOD + "x,Cy,woman,1990-01-01\n")).content.decode()
    row = page.split("What is wrong, what to do")[1]
    assert "squad.csv" in row
    assert '<td class="num">4</td>' in row
    assert "Number" in row


def test_no_file_is_asked_for(head, house):
    answer = head.post(URL + "preview", {})
    assert answer.status_code == 422
    assert "Choose at least one file" in answer.content.decode()


def test_the_template_and_the_export_are_workbooks(head, house):
    for name in ("template.xlsx", "everything.xlsx"):
        answer = head.get(URL + name)
        assert answer.content[:2] == b"PK"
        assert "attachment" in answer.headers["Content-Disposition"]


def test_answers_given_are_sent_again_with_the_yes(head, house):
    text = (
        GOOD.replace("Born", "Body mass")
        .replace("1999-04-01", '"64,5"')
        .replace("1998-02-03", "90")
    )
    given = {}
    while open_questions := choices_in(head.post(URL + "preview", sent(text, **given))):
        given |= open_questions
    looked = head.post(URL + "preview", sent(text, **given)).content.decode()
    assert all(f'<input type="hidden" name="{key}"' in looked for key in given)
    saved = head.post(URL + "accept", sent(text, mark=mark_of(looked), **given))
    assert saved.headers.get("HX-Redirect") == URL, saved.content.decode()


def choices_in(answer):
    """The first answer offered to every open question."""
    found = re.findall(
        r'type="radio" name="(answer:[^"]+)" value="([^"]+)"', answer.content.decode()
    )
    return {unescape(key): value for key, value in reversed(found)}


def test_a_yes_with_open_questions_is_refused_and_shows_the_same_files_again(head, house):
    text = GOOD.replace("Born", "Body mass").replace("1999-04-01", "64").replace("1998-02-03", "90")
    answer = head.post(URL + "accept", sent(text))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "questions are open" in page
    assert "is empty" not in page


def test_a_note_is_not_counted_as_a_problem(head, house):
    text = "Name,Sex\nAda Lind,woman\n"
    page = head.post(URL + "preview", sent(text, name="people.csv")).content.decode()
    assert re.search(r"<h3>\d notes?</h3>", page)
    bad = head.post(URL + "preview", sent(GOOD + "x,Cy,woman,1990-01-01\n")).content.decode()
    assert "<h3>1 problem" in bad


def test_the_same_list_again_is_no_change_and_leaves_no_line_behind(head, house):
    head.post(URL + "accept", sent(mark=mark_of(looked_at(head))))
    again = looked_at(head)
    assert "No change: the gym knows all of it already" in again
    assert "athletes: 2 known already" in again
    refused = head.post(URL + "accept", sent(mark=mark_of(again)))
    assert refused.status_code == 422
    assert head.get(URL).content.decode().count("<strong>squad.csv</strong>") == 1
    changed = GOOD.replace("1999-04-01", "1999-04-02")
    page = head.post(URL + "preview", sent(changed)).content.decode()
    assert "athletes: 1 changed, 1 known already" in page
    assert "Save 1 record<" in page


def test_a_known_list_under_another_name_is_no_change_and_with_a_bad_row_it_is_not(head, house):
    head.post(URL + "accept", sent(mark=mark_of(looked_at(head))))
    noted = head.post(URL + "preview", sent(name="our-people.csv")).content.decode()
    assert "is read as Squad" in noted
    assert "No change: the gym knows all of it already" in noted
    spoiled = head.post(URL + "preview", sent(GOOD + "x,Cy,woman,1990-01-01\n")).content.decode()
    assert "No change" not in spoiled
    assert "Nothing here can be saved yet" in spoiled


def test_the_whole_export_comes_back_as_no_change(head, house):
    book = head.get(URL + "everything.xlsx").content
    files = SimpleUploadedFile("everything.xlsx", book)
    page = head.post(URL + "preview", {"files": files}).content.decode()
    assert "No change: the gym knows all of it already" in page


def looked_at(client):
    return client.post(URL + "preview", sent()).content.decode()
